#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Puts the page's files into the program.

Reads every file under --dist (in a stable order) and every --add URL=FILE, and writes
  --blob     all their bytes, plain and gzip-packed, one after the other;
  --source   a C file that takes the blob in by .incbin and holds the table of src/web/assets.h;
  --depfile  what was read, so that the build runs again when one of them changes, comes or goes.
Where --dist holds no index.html, --notice stands in for the page and is answered with 503.
Same input, same output: no times, no absolute paths but the blob's own.
"""
import argparse
import gzip
import hashlib
import os
import sys

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".map": "application/json; charset=utf-8",
    ".webmanifest": "application/manifest+json; charset=utf-8",
    ".svg": "image/svg+xml; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
    ".wasm": "application/wasm",
}
PACKED_ALREADY = {".png", ".ico", ".woff2"}
PATH_CHARACTERS = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./")


def fail(message):
    sys.exit("embed: " + message)


def walk(dist, seen):
    """(url, file) of every file under dist; notes folders and files in `seen`."""
    found = []
    for folder, folders, files in os.walk(dist):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        seen.append(folder)
        for name in sorted(files):
            if name.startswith("."):
                continue
            path = os.path.join(folder, name)
            found.append(("/" + os.path.relpath(path, dist).replace(os.sep, "/"), path))
    return found


def existing_parent(path):
    while path and not os.path.isdir(path):
        path = os.path.dirname(path)
    return path


def collect(args, seen):
    """url -> (file, http status)."""
    files = {url: (path, 200) for url, path in walk(args.dist, seen)}
    if not os.path.isdir(args.dist):
        seen.append(existing_parent(args.dist))  # its time changes when dist comes
    if "/index.html" in files:
        files["/"] = files["/index.html"]
    else:
        files["/"] = files["/index.html"] = (args.notice, 503)
    for pair in args.add:
        url, _, path = pair.partition("=")
        if url in files:
            fail(f"{url} comes twice: {files[url][0]} and {path}")
        files[url] = (path, 200)
    for url in files:
        if not set(url) <= PATH_CHARACTERS:
            fail(f"the name {url!r} holds a character other than letters, digits and -_./")
    return files


def etag(data, form):
    return '"' + hashlib.sha256(data).hexdigest()[:24] + form + '"'


class Blob:
    def __init__(self):
        self.data = bytearray()
        self.places = {}

    def place(self, data):
        """Offset of these bytes; the same bytes are kept once."""
        if data not in self.places:
            self.places[data] = len(self.data)
            self.data += data
        return self.places[data]


def row(url, path, status, blob):
    ending = os.path.splitext(path)[1]
    if ending not in TYPES:
        fail(f"{path}: no content type is known for '{ending}'; add it to TYPES in tools/embed.py")
    with open(path, "rb") as file:
        data = file.read()
    packed = gzip.compress(data, 9, mtime=0)
    fields = [f'.path = "{url}"', f'.type = "{TYPES[ending]}"', f".http_status = {status}",
              f'.etag = {c_text(etag(data, ""))}', f".bytes = lw_asset_blob + {blob.place(data)}",
              f".length = {len(data)}"]
    if ending not in PACKED_ALREADY and len(packed) < len(data) * 9 // 10:
        fields += [f'.gzip_etag = {c_text(etag(data, "-gz"))}',
                   f".gzip_bytes = lw_asset_blob + {blob.place(packed)}",
                   f".gzip_length = {len(packed)}"]
    return "  {" + ",\n   ".join(fields) + "},\n"


def c_text(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def write(path, data):
    with open(path, "wb") as file:
        file.write(data)


def source(rows, blob_path):
    where = os.path.abspath(blob_path).replace("\\", "\\\\").replace('"', '\\"')
    incbin = c_text(f'.incbin "{where}"')[:-1] + '\\n"'
    return f"""/* SPDX-License-Identifier: Apache-2.0 */
/* Written by tools/embed.py; changes are lost. */
#include "web/assets.h"

__asm__(".section .rodata\\n"
        ".balign 16\\n"
        ".globl lw_asset_blob\\n"
        "lw_asset_blob:\\n"
        {incbin}
        ".byte 0\\n"
        ".text\\n");

extern const unsigned char lw_asset_blob[];

const lw_asset lw_assets[] = {{
{"".join(rows)}}};
const size_t lw_asset_count = sizeof lw_assets / sizeof *lw_assets;
"""


def depfile(target, names):
    escaped = [os.path.abspath(n).replace(" ", "\\ ").replace("#", "\\#").replace("$", "$$")
               for n in names]
    return target.replace(" ", "\\ ") + ": " + " \\\n  ".join(escaped) + "\n"


def main():
    parser = argparse.ArgumentParser()
    for name in ("dist", "notice", "blob", "source", "depfile"):
        parser.add_argument("--" + name, required=True)
    parser.add_argument("--add", action="append", default=[], metavar="URL=FILE")
    args = parser.parse_args()
    seen = [os.path.abspath(__file__)]
    files = collect(args, seen)
    blob = Blob()
    rows = [row(url, path, status, blob) for url, (path, status) in sorted(files.items())]
    write(args.blob, bytes(blob.data))
    write(args.source, source(rows, args.blob).encode())
    names = dict.fromkeys(seen + sorted(path for path, _ in files.values()))
    write(args.depfile, depfile(args.source, names).encode())


if __name__ == "__main__":
    main()
