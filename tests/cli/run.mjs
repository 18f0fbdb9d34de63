// SPDX-License-Identifier: Apache-2.0
// Runs the real program from outside: the scripted situations (what `now` must say, with rule and
// source) and the refusals (exit 2, one sentence, nothing changed). Prints TAP.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const program = process.argv[2];
const only = process.argv[3];
const folder = mkdtempSync(join(tmpdir(), 'lakeward-cli-'));
let number = 0;
let failed = 0;

function report(ok, name, why = '') {
  number += 1;
  if (!ok) failed += 1;
  process.stdout.write(`${ok ? 'ok' : 'not ok'} ${number} - ${name}\n`);
  if (!ok && why) process.stdout.write(`# ${String(why).replaceAll('\n', '\n# ')}\n`);
}

// A line as a shell would split it: blanks, with "..." kept together.
function words(line) {
  return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((m) => (m[1] !== undefined ? m[1] : m[2]));
}

function inFolder(text) {
  return text.replaceAll('$DIR', folder);
}

// 'name text' becomes a file in $DIR; '\n' in the text breaks a line.
function writeText(text) {
  const [name, ...rest] = text.split(' ');
  writeFileSync(join(folder, name), rest.join(' ').replaceAll('\\n', '\n'));
}

function lakeward(store, day, args) {
  return spawnSync(program, ['--store', store, ...args], {
    encoding: 'utf8', env: { ...process.env, LAKEWARD_TODAY: day, LAKEWARD_STORE: '' },
  });
}

// Blocks of a scenario file: lines 'key: value', '+ command', '~ command | text it must print', '= expectation',
// '? refused command | text', '> name text' (a file in $DIR).
function blocks(file) {
  const list = [];
  let block = null;
  readFileSync(join(here, file), 'utf8').split('\n').forEach((raw, index) => {
    const line = raw.trim();
    if (!line || line.startsWith('#')) return;
    const head = /^(situation|refusal):\s*(.*)$/.exec(line);
    if (head) {
      block = { kind: head[1], name: head[2], day: '2026-04-08', steps: [], line: index + 1 };
      list.push(block);
    } else if (line.startsWith('day:')) {
      block.day = line.slice(4).trim();
    } else {
      block.steps.push({ mark: line[0], text: line.slice(1).trim(), line: index + 1 });
    }
  });
  return list;
}

const setups = new Map();

function expandSetup(steps) {
  return steps.flatMap((s) => (s.mark === '@' ? setups.get(s.text) ?? [{ mark: '!', text: s.text }] : [s]));
}

// "feeding the bloom: do feed-clarity 45.36 kg" -> checks on the item of that subject
function checkItem(now, text) {
  const m = /^([^:]+):\s*(do|hold|ask)\s+([a-z-]+)(?:\s+([\d.]+)(?:\s*\.\.\s*([\d.]+))?\s+(\S+))?(?:\s+measure\s+(\S+))?$/.exec(text);
  if (!m) return `the expectation '${text}' cannot be read`;
  const [, subject, verdict, rule, low, high, unit, measure] = m;
  const item = now.waters.flatMap((w) => w.items).find((i) => i.subject === subject);
  if (!item) return `no item '${subject}'`;
  const said = `said ${item.verdict}: ${item.headline} [${item.reasons.map((r) => (r.decides ? '*' : '') + r.rule).join(' ')}]`;
  if (item.verdict !== verdict) return said;
  const reason = item.reasons.find((r) => r.rule === rule);
  if (!reason) return `rule ${rule} is not among the reasons; ${said}`;
  if (!reason.source || !reason.basis || !reason.text) return `rule ${rule} has no source`;
  if (low !== undefined) {
    if (!item.amount) return `no amount; ${said}`;
    if (item.amount.unit !== unit) return `amount in ${item.amount.unit}`;
    const value = item.amount.value;
    const a = Number(low);
    const ok = high === undefined ? Math.abs(value - a) <= 0.005 * a : value >= a && value <= Number(high);
    if (!ok) return `amount ${value} ${unit}`;
  }
  if (measure && item.measure !== measure) return `asks for ${item.measure}`;
  return '';
}

function checkText(now, text) {
  const m = /^([^:]+):\s*(says|cautions|steps|set-aside)\s+(.*)$/.exec(text);
  if (!m) return null;
  const item = now.waters.flatMap((w) => w.items).find((i) => i.subject === m[1]);
  if (!item) return `no item '${m[1]}'`;
  const where = {
    says: [item.headline, ...item.reasons.map((r) => r.text)],
    cautions: item.cautions, steps: item.steps,
    'set-aside': item.reasons.map((r) => r.set_aside ?? ''),
  }[m[2]];
  return where.some((t) => t.includes(m[3])) ? '' : `nothing there has '${m[3]}': ${where.join(' / ')}`;
}

function situation(block) {
  const store = join(folder, `s${number}.lake`);
  const made = lakeward(store, block.day, ['new', store]);
  if (made.status !== 0) return report(false, block.name, made.stderr);
  for (const step of expandSetup(block.steps)) {
    if (step.mark === '+') {
      const r = lakeward(store, block.day, words(inFolder(step.text)));
      if (r.status !== 0) return report(false, block.name, `line ${step.line}: ${r.stderr}`);
    } else if (step.mark === '>') {
      writeText(step.text);
    } else if (step.mark === '~') {
      const [command, ...rest] = step.text.split(' | ');
      const r = lakeward(store, block.day, words(inFolder(command)));
      if (r.status !== 0 || !r.stdout.includes(rest.join(' | '))) {
        return report(false, block.name, `line ${step.line}: wanted '${rest.join(' | ')}', exit ${r.status}: ${r.stdout}${r.stderr}`);
      }
    } else if (step.mark === '=') {
      const r = lakeward(store, block.day, ['now', '--json']);
      const now = JSON.parse(r.stdout);
      const why = checkText(now, step.text) ?? checkItem(now, step.text);
      if (why) return report(false, block.name, `line ${step.line}: ${step.text}\n${why}`);
    } else {
      return report(false, block.name, `line ${step.line}: unknown mark ${step.mark} ${step.text}`);
    }
  }
  return report(true, block.name);
}

function whole(store, day) {
  return ['history', 'now', 'shelf', 'settings'].map((c) => lakeward(store, day, [c, '--json']).stdout).join('');
}

// '? command' must exit 2 with nothing on standard output, a sentence holding the text after '|', and
// change nothing.
function refusal(block) {
  const store = join(folder, `r${number}.lake`);
  let before = '';
  lakeward(store, block.day, ['new', store]);
  for (const step of expandSetup(block.steps)) {
    if (step.mark === '+') {
      const r = lakeward(store, block.day, words(inFolder(step.text)));
      if (r.status !== 0) return report(false, block.name, `line ${step.line}: ${r.stderr}`);
    } else if (step.mark === '>') {
      writeText(step.text);
    } else if (step.mark === '?') {
      const [command, ...rest] = step.text.split(' | ');
      before ||= whole(store, block.day);
      const r = lakeward(store, block.day, words(inFolder(command)));
      const sentence = rest.join(' | ');
      const why = r.status !== 2 ? `exit ${r.status}: ${r.stdout}${r.stderr}`
        : r.stdout ? `standard output: ${r.stdout}`
          : !r.stderr.includes(sentence) ? `said: ${r.stderr}`
            : whole(store, block.day) !== before ? 'the store changed' : '';
      report(!why, `${block.name}: ${command}`, why && `line ${step.line}: wanted '${sentence}'\n${why}`);
    }
  }
}

for (const block of blocks('setups.txt')) setups.set(block.name, block.steps);
for (const block of [...blocks('situations.txt'), ...blocks('refusals.txt')]) {
  if (only && !block.name.includes(only)) continue;
  if (block.kind === 'situation') situation(block);
  else refusal(block);
}
// Exit codes and silence of the plain calls.
for (const args of [['--version'], ['help'], ['help', 'now'], ['method'], ['rules'], ['docs', 'man']]) {
  const r = spawnSync(program, args, { encoding: 'utf8' });
  report(r.status === 0 && r.stdout.length > 0 && !r.stderr, `plain call: ${args.join(' ')}`, r.stderr);
}
rmSync(folder, { recursive: true, force: true });
process.stdout.write(`1..${number}\n# cli: ${number - failed} passed, ${failed} failed\n`);
process.exit(failed ? 1 : 0);
