/* SPDX-License-Identifier: Apache-2.0 */
#include "cli/commands.h"

const cli_command *const cli_commands[] = {
    &cli_now,          &cli_season,       &cli_water_add,       &cli_water_set,   &cli_water_show,
    &cli_water_list,   &cli_water_remove, &cli_zone_add,        &cli_reading_add, &cli_reading_list,
    &cli_reading_remove, &cli_treatment_add, &cli_treatment_list, &cli_treatment_remove, &cli_note_add,
    &cli_weather_add,  &cli_override_add, &cli_override_remove, &cli_material_add, &cli_material_set,
    &cli_material_list, &cli_material_remove, &cli_lot_add,     &cli_shelf,       &cli_csv_import,
    &cli_undo,         &cli_history,      &cli_method,          &cli_rules,       &cli_settings_show,
    &cli_settings_set, &cli_serve,        &cli_new,             &cli_demo,        &cli_backup,
    &cli_check,        &cli_export,       &cli_import,          &cli_docs,        &cli_help,
    &cli_version,      NULL,
};
