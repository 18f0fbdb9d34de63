#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Installs the Debian packages of the named groups that are missing: tools/need.sh build test
set -eu
here=$(dirname "$0")
missing=
for group in "$@"; do
  for package in $(sed -n "s/^$group //p" "$here/packages.txt"); do
    case $package in
    # a program from elsewhere (a newer node, say) does as well as the package
    nodejs) command -v node >/dev/null 2>&1 && continue ;;
    npm | gcc | clang | clang-tidy | clang-format) command -v "$package" >/dev/null 2>&1 && continue ;;
    esac
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
      missing="$missing $package"
  done
done
[ -z "$missing" ] && exit 0
if ! command -v apt-get >/dev/null 2>&1; then
  echo "Lakeward builds on Debian 12. Please install the counterparts of:$missing" >&2
  exit 1
fi
if [ "$(id -u)" != 0 ]; then
  echo "These Debian packages are missing; as root, run:" >&2
  echo "  apt-get update && apt-get install --no-install-recommends$missing" >&2
  exit 1
fi
echo "Installing:$missing" >&2
export DEBIAN_FRONTEND=noninteractive
apt-get update -qq
# shellcheck disable=SC2086
apt-get install -y -qq --no-install-recommends $missing >/dev/null
