// SPDX-License-Identifier: Apache-2.0
// Builds the page into dist/: one script, one style sheet, the service worker and the static files.
// The server embeds exactly these files. `--watch` is not offered: a build takes a tenth of a second.
import { build } from 'esbuild';
import { createHash } from 'node:crypto';
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, 'dist');
const publicFiles = readdirSync(join(here, 'public'));

const shared = {
  absWorkingDir: here,
  bundle: true,
  minify: true,
  target: ['es2022'],
  legalComments: 'none',
  logLevel: 'warning',
  charset: 'utf8',
};

rmSync(dist, { recursive: true, force: true });
mkdirSync(dist, { recursive: true });
for (const file of publicFiles) copyFileSync(join(here, 'public', file), join(dist, file));

// What the bundle contains of others, with the notice their licence asks for.
const preact = readFileSync(join(here, 'node_modules/preact/LICENSE'), 'utf8');
writeFileSync(join(dist, 'licences.txt'), `Lakeward is under the Apache License 2.0.\n\nThis page contains Preact:\n\n${preact}`);

await build({
  ...shared,
  entryPoints: { app: 'src/main.tsx' },
  outdir: dist,
  format: 'esm',
  jsx: 'automatic',
  jsxImportSource: 'preact',
});
await build({ ...shared, entryPoints: { app: 'src/css/all.css' }, outdir: dist });

// The worker carries a mark of the shell, so that a changed page makes a changed worker.
const shell = ['app.js', 'app.css', ...publicFiles].sort();
const mark = createHash('sha256');
for (const file of shell) mark.update(readFileSync(join(dist, file)));
await build({
  ...shared,
  entryPoints: { sw: 'src/sw.ts' },
  outdir: dist,
  format: 'iife',
  define: {
    SHELL_MARK: JSON.stringify(mark.digest('hex').slice(0, 12)),
    SHELL_FILES: JSON.stringify(['./', ...shell.filter((file) => file !== 'index.html')]),
  },
});

for (const file of readdirSync(dist).sort()) {
  const bytes = readFileSync(join(dist, file));
  console.log(`${file.padEnd(22)} ${String(bytes.length).padStart(7)} bytes  ${String(gzipSync(bytes, { level: 9 }).length).padStart(6)} gzipped`);
}
