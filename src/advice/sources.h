/* SPDX-License-Identifier: Apache-2.0 */
/* Sources named by more than one rule, spelled once. */
#ifndef LW_ADVICE_SOURCES_H
#define LW_ADVICE_SOURCES_H

#define LW_SRC_PRACTICE "common practice, no source"
#define LW_SRC_SRAC_471 "Brunson, Stone & Hargreaves 1999, Fertilization of Fish Ponds, SRAC Publication 471"
#define LW_SRC_ALABAMA                                                                                       \
  "Alabama Wildlife & Freshwater Fisheries Division, Fertilizing Ponds (text of Sportfish "                  \
  "Management in Alabama Ponds)"
#define LW_SRC_ALABAMA_LEAFLET "Alabama Department of Conservation, Fisheries Leaflet No. 1: Fertilizing"
#define LW_SRC_ARKANSAS "University of Arkansas at Pine Bluff, Fertilization (after SRAC 471), rate table"
#define LW_SRC_TEXAS "Texas A&M AgriLife Extension 2020, Pond fertilization"
#define LW_SRC_MISSISSIPPI "Neal, Fertilizing Mississippi Farm Ponds, Mississippi State University Extension"
#define LW_SRC_SRAC_4100 "Wurts & Masser 2013, Liming Ponds for Aquaculture, SRAC Publication 4100"
#define LW_SRC_BOYD_TABLE                                                                                    \
  "Boyd 1979, Water Quality in Warmwater Fish Ponds, modified Adams-Evans buffer table"
#define LW_SRC_AUBURN "Auburn University / ACES, Fertilization and Liming in Recreational Fish Ponds"
#define LW_SRC_EXTENSION "eXtension Freshwater Aquaculture, fertilizer and lime questions"
#define LW_SRC_JENSEN "Jensen, Pond Aeration, Alabama Cooperative Extension (Auburn)"
#define LW_SRC_WURTS "Wurts, Low Oxygen and Pond Aeration, Kentucky State University WKY-211"
#define LW_SRC_GEORGIA "University of Georgia Cooperative Extension, Pond Fertilization and Liming"
#define LW_SRC_IFAS "University of Florida IFAS FA16, Ammonia in Aquatic Systems"
#define LW_SRC_CR9202 "Oklahoma State University Extension CR-9202 2018, Grass Carp for Pond Weed Management"
#define LW_SRC_B866 "Lewis 1998, Using Chemicals in Pond Management, University of Georgia B-866"
#define LW_SRC_SEAFWA_1978                                                                                   \
  "Hardness, Alkalinity, pH and Pond Fertilization, Proceedings SEAFWA 1978 (abstract)"

#endif
