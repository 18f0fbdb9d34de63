#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# What the tests do not show: the same code under clang, the static analyser, and the formatting.
set -eu
cd "$(dirname "$0")/.."
[ -f build-clang/build.ninja ] || CC=clang meson setup build-clang >/dev/null
ninja -C build-clang --quiet
git ls-files '*.c' '*.h' | xargs clang-format --dry-run -Werror
git ls-files 'src/*.c' 'demo/*.c' | xargs -P 2 -n 8 clang-tidy --quiet -p build-clang
echo "clang, clang-tidy and clang-format have nothing to say."
