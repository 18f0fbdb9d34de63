// SPDX-License-Identifier: Apache-2.0
// Adds up what every suite said (meson's testlog.json, or plain TAP) and prints 'N passed, N failed'.
import { readFileSync } from 'node:fs';

let passed = 0;
let failed = 0;
const problems = [];

function addTap(text, name, ended) {
  const ok = (text.match(/^\s*ok \d+/gm) ?? []).length;
  const todo = (text.match(/^\s*not ok \d+.*# TODO/gm) ?? []).length;
  const bad = (text.match(/^\s*not ok \d+/gm) ?? []).length - todo;
  passed += ok + todo; // a known miss that still misses is as expected
  failed += bad;
  if (bad) problems.push(`${name}: ${bad} not ok`);
  if (!ended && !bad) {
    failed += 1;
    problems.push(`${name}: did not end well`);
  }
  if (ended && ok + bad + todo === 0) {
    failed += 1;
    problems.push(`${name}: ran no test`);
  }
}

for (const file of process.argv.slice(2)) {
  const text = readFileSync(file, 'utf8');
  if (!file.endsWith('.json')) {
    addTap(text, file, true);
    continue;
  }
  for (const line of text.split('\n').filter(Boolean)) {
    const test = JSON.parse(line);
    if (test.result === 'EXPECTEDFAIL') passed += 1;
    else addTap(test.stdout ?? '', test.name, test.result === 'OK');
  }
}
for (const p of problems) process.stdout.write(`# ${p}\n`);
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exit(failed ? 1 : 0);
