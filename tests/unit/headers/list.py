# SPDX-License-Identifier: Apache-2.0
"""The headers under a folder, one a line; with --expect the names that were compiled alone are held
against them, as TAP (the compiling itself is the build's)."""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
found = sorted(path.relative_to(root).as_posix() for path in root.rglob("*.h"))
if "--expect" not in sys.argv:
    print("\n".join(found))
    sys.exit(0)

compiled = sys.argv[sys.argv.index("--expect") + 1 :]
failures = 0
print(f"1..{len(found)}")
for number, name in enumerate(found, 1):
    guard = "LW_" + re.sub(r"[^A-Za-z0-9]", "_", name).upper()
    text = (root / name).read_text(encoding="utf-8")
    problem = ""
    if name not in compiled:
        problem = "new since the build was configured: run meson setup --reconfigure"
    elif f"#ifndef {guard}\n#define {guard}\n" not in text:
        problem = f"its include guard is not {guard}"
    failures += problem != ""
    print(f"{'not ok' if problem else 'ok'} {number} - {name}{': ' + problem if problem else ''}")
sys.exit(1 if failures else 0)
