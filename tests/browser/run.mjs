// SPDX-License-Identifier: Apache-2.0
// Browser tests of the page against the program: prints TAP and a closing count.
//   node tests/browser/run.mjs [words of a test's name]
import { begin, end } from './harness.mjs';
import { accessCases } from './cases-access.mjs';
import { entryCases } from './cases-entry.mjs';
import { mapCases } from './cases-map.mjs';
import { mapWriteCases } from './cases-map-write.mjs';
import { offlineCases } from './cases-offline.mjs';
import { paperCases } from './cases-paper.mjs';

const wanted = process.argv.slice(2).join(' ').toLowerCase();
const cases = [...entryCases, ...accessCases, ...mapCases, ...mapWriteCases, ...offlineCases, ...paperCases].filter(([name]) => name.toLowerCase().includes(wanted));
let passed = 0;
let failed = 0;

await begin();
try {
  console.log('TAP version 13');
  console.log(`1..${cases.length}`);
  for (const [at, [name, test]] of cases.entries()) {
    try {
      await test();
      passed++;
      console.log(`ok ${at + 1} - ${name}`);
    } catch (error) {
      failed++;
      console.log(`not ok ${at + 1} - ${name}`);
      console.log(String(error?.stack ?? error).split('\n').map((line) => `# ${line}`).join('\n'));
    }
  }
} finally {
  await end();
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed || !cases.length ? 1 : 0);
