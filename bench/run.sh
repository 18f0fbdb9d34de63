#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Every benchmark, each with its ratio against a yardstick of the same run.
set -eu
cd "$(dirname "$0")/.."
meson test -C build --no-rebuild --benchmark --verbose
