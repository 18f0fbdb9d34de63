#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes the GeoJSON files as C arrays: embed_outlines.py OUT.c FILE.geojson...

"upper-sedge-zones.geojson" becomes lw_demo_upper_sedge_zones, ended with a NUL. An array of numbers and
not a string: the C standard promises only 4095 characters in a string literal.
"""
import os
import sys


def array(path):
    name = os.path.splitext(os.path.basename(path))[0].replace("-", "_")
    with open(path, "rb") as file:
        data = file.read()
    numbers = [str(byte) for byte in data] + ["0"]
    lines = [",".join(numbers[i:i + 25]) for i in range(0, len(numbers), 25)]
    return f"const char lw_demo_{name}[] = {{\n" + ",\n".join(lines) + "};\n"


def main():
    with open(sys.argv[1], "w", encoding="ascii") as out:
        out.write("/* SPDX-License-Identifier: Apache-2.0 */\n"
                  "/* Written by demo/embed_outlines.py; changes are lost. */\n"
                  '#include "demo/places.h"\n\n')
        out.write("\n".join(array(path) for path in sys.argv[2:]))


main()
