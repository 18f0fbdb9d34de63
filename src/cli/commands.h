/* SPDX-License-Identifier: Apache-2.0 */
/* The commands, by the file they live in. */
#ifndef LW_CLI_COMMANDS_H
#define LW_CLI_COMMANDS_H

#include "cli/cli.h"

extern const cli_command cli_new, cli_demo, cli_backup, cli_check, cli_export, cli_import; /* file.c */
extern const cli_command cli_now, cli_season;                                              /* now.c */
extern const cli_command cli_water_add, cli_water_set, cli_water_show, cli_water_list,
    cli_water_remove;                                                                /* water.c */
extern const cli_command cli_zone_add, cli_zone_set, cli_zone_list, cli_zone_remove; /* zone.c */
extern const cli_command cli_basin, cli_basin_export;                                /* basin.c */
extern const cli_command cli_survey_import, cli_survey_list, cli_survey_set, cli_survey_removed,
    cli_survey_restore, cli_survey_drop, cli_survey_remove, cli_sounding_add; /* survey.c */
extern const cli_command cli_reading_add, cli_reading_list, cli_reading_remove, cli_note_add, cli_weather_add,
    cli_override_add, cli_override_remove; /* log.c */
extern const cli_command cli_material_add, cli_material_set, cli_material_list, cli_material_remove,
    cli_lot_add, cli_treatment_add, cli_treatment_list, cli_treatment_remove, cli_shelf; /* shelf.c */
extern const cli_command cli_history, cli_undo;                                          /* history.c */
extern const cli_command cli_method, cli_rules, cli_settings_show, cli_settings_set;     /* method.c */
extern const cli_command cli_csv_import;                                                 /* csv.c */
extern const cli_command cli_serve;                                                      /* serve.c */
extern const cli_command cli_help, cli_version, cli_docs;                                /* docs.c */

#endif
