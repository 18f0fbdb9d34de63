#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Every benchmark, each with its ratio against a yardstick of the same run: make bench. Nothing is judged:
# a machine with other work to do gives other figures. docs/performance.md says what was measured and how.
set -eu
cd "$(dirname "$0")/.."
build=${BUILD:-build}

printf '%s, %s cores, load %s\n\n' "$(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | sed -n 1p)" \
  "$(nproc)" "$(cut -d' ' -f1 /proc/loadavg)"
"$build/bench/bench_start" "$build/lakeward" "$build/bench/bare"
echo
"$build/bench/bench_now" "$build/lakeward"
if [ -x "$build/bench/bench_http" ]; then
  echo
  "$build/bench/bench_http"
fi
for name in bench_basin_gridders bench_basin_interval bench_basin_million bench_grid; do
  if [ -x "$build/bench/$name" ]; then
    echo
    "$build/bench/$name"
  fi
done
