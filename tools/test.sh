#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# The whole test: build with gcc, run every suite; build again with the address and undefined-behaviour
# sanitizers and run the quick suites there; then the page in a real browser. Ends with one line
# 'N passed, N failed'. Called by `make test`, which installs what is missing.
set -u
cd "$(dirname "$0")/.."
build=build
asan=build-asan
logs=$build/test-logs
status=0

make --no-print-directory build || exit 1
rm -rf "$logs" && mkdir -p "$logs"

step() { printf '\n== %s\n' "$1"; }

step "unit, published, property, command line, faults, fuzz corpus"
meson test -C $build --no-rebuild --print-errorlogs --num-processes 2 || status=1
cp $build/meson-logs/testlog.json "$logs/plain.json"

# Beside the browser, which mostly waits.
sanitized() {
  if [ ! -f $asan/build.ninja ]; then
    meson setup $asan -Db_sanitize=address,undefined -Db_lundef=false --buildtype=debugoptimized -Doptimization=1 -Dwerror=false >/dev/null || return 1
  fi
  ninja -C $asan --quiet || return 1
  UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 ASAN_OPTIONS=detect_leaks=1 \
    meson test -C $asan --no-rebuild --print-errorlogs --num-processes 2 \
    --suite unit --suite published --suite property --suite fuzz
  result=$?
  cp $asan/meson-logs/testlog.json "$logs/sanitizers.json"
  return $result
}
sanitized >"$logs/sanitizers.log" 2>&1 &
sanitizing=$!

step "the page in a browser"
if command -v chromium >/dev/null 2>&1; then
  LAKEWARD_BIN="$PWD/$build/lakeward" node tests/browser/run.mjs >"$logs/browser.tap" 2>&1 || status=1
  cat "$logs/browser.tap"
  LAKEWARD="$PWD/$build/lakeward" node --test --test-reporter=tap tests/browser/openapi.test.mjs >"$logs/openapi.tap" 2>&1 || status=1
else
  echo "not ok 1 - chromium is not installed (Debian package chromium)" | tee "$logs/browser.tap"
  status=1
fi

step "unit, published, property and fuzz corpora under the sanitizers"
wait $sanitizing || status=1
cat "$logs/sanitizers.log"

node tools/count_tests.mjs "$logs"/*.json "$logs"/*.tap || status=1
exit $status
