import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { judgeStored, verifyStore, verifyTest } from '../../src/audit/index.js';
import { judge } from '../../src/evaluation/index.js';
import type { Reading } from '../../src/gauge/index.js';
import { openStore } from '../../src/record/index.js';
import { pressurePa } from '../../src/units/index.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { drawTrace, plainHold } from '../holdtest/sample-trace.js';
import { sampleHeader, sampleReadings, sampleResult } from '../record/sample-test.js';
import { fillLargeStore } from './large-store.js';

/**
 * The record beside the least that could be done: a bare commit, a row a reading, a bare hash and fit. About two minutes
 * with 3,000 tests in the large store and 2 million readings; DWELLMARK_BENCH=full takes 100,000 and 10 million, and
 * DWELLMARK_BENCH_STORE keeps the large store in a file, which is gone on with when it is there.
 */
const full = process.env.DWELLMARK_BENCH === 'full';
const [largeStore, millions] = full ? [100_000, 10] : [3_000, 2];
const folder = mkdtempSync(join(tmpdir(), 'dwellmark-bench-'));
const widths = [58, 22, 40, 8, 8];
const line = (...cells: [what: string, ours: string, beside: string, ratio: string, limit: string]): void =>
  console.error(cells.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  '));
const now = (): number => performance.now();
const fixed = (value: number, digits = 2): string => value.toFixed(digits);
const percentile = (values: number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length * share)] ?? 0;

/** The program's own code is compiled as it is used: what is compiled yet, and what is not, are told apart. */
const [coldCommits, warmCommits] = [1000, 10_000];

function commits(): void {
  const store = openStore(join(folder, 'commit.db'), { mode: 'write' });
  const writer = store.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
  const bare = new Database(join(folder, 'bare.db'));
  bare.pragma('journal_mode = WAL');
  bare.pragma('synchronous = FULL');
  bare.exec('CREATE TABLE chunk (id INTEGER PRIMARY KEY, payload BLOB) STRICT');
  const insert = bare.prepare('INSERT INTO chunk (payload) VALUES (?)');
  const readings = sampleReadings({ seconds: coldCommits + warmCommits });
  const [ours, theirs]: [number[], number[]] = [[], []];
  const timed = (times: number[], commit: () => void): void => {
    const before = now();
    commit();
    times.push(now() - before);
  };
  for (let at = 0; at < readings.length; at += 10) {
    for (const reading of readings.slice(at, at + 10)) writer.append({ kind: 'reading', reading });
    const both = [() => timed(ours, () => writer.flush()), () => timed(theirs, () => insert.run(Buffer.alloc(60, at)))];
    // The second to go finds the disk awake: each is second in every other pair.
    for (const one of at % 20 === 0 ? both : both.reverse()) one();
  }
  store.close();
  bare.close();
  const cold = (times: number[]): number[] => times.slice(0, coldCommits);
  const warm = (times: number[]): number[] => times.slice(coldCommits);
  for (const [name, share, of, limit] of [
    ['median', 0.5, warm, ''],
    ['p99', 0.99, warm, '1.3'],
    [`p99 of the first ${coldCommits}, not yet compiled`, 0.99, cold, ''],
  ] as const) {
    const [a, b] = [percentile(of(ours), share), percentile(of(theirs), share)];
    line(`commit of a second, ${name}`, `${fixed(a)} ms`, `bare commit ${fixed(b)} ms`, fixed(a / b), limit);
  }
}

function size(): void {
  const path = join(folder, 'size.db');
  const store = openStore(path, { mode: 'write' });
  const rowPath = join(folder, 'rows.db');
  const perRow = new Database(rowPath);
  perRow.pragma('synchronous = OFF');
  perRow.exec(
    'CREATE TABLE reading (test INTEGER, time_us INTEGER, pa INTEGER, opposite_pa INTEGER, oil_mk INTEGER, flags INTEGER) STRICT',
  );
  const insert = perRow.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?)');
  let count = 0;
  for (let test = 1; test <= 40; test += 1) {
    const readings = sampleReadings({ seconds: 900, seed: test });
    count += readings.length;
    const writer = store.beginTest(sampleHeader(store.nextTestId(2026), { origin: 'live' }));
    perRow.transaction(() => {
      for (const reading of readings) {
        writer.append({ kind: 'reading', reading });
        const { timeUs, pressurePa, oppositePa, oilK, flags } = reading;
        insert.run(test, timeUs, pressurePa, oppositePa, oilK === null ? null : Math.round(oilK * 1000), flags);
      }
    })();
    writer.finish(sampleResult(readings.map((reading) => ({ kind: 'reading', reading }))));
  }
  store.close();
  perRow.close();
  const [ours, theirs] = [statSync(path).size / count, statSync(rowPath).size / count];
  line(
    `file size, ${count} readings of 40 live tests`,
    `${fixed(ours)} B a reading`,
    `a row a reading ${fixed(theirs)} B`,
    fixed(ours / theirs, 3),
    '0.125',
  );
}

/** A test of so many readings at 10 a second: zero, ramp, settling, then one long dwell that loses 3 bar. */
function* longHold(count: number): Iterable<Reading> {
  const lead = drawTrace([...plainHold(0).slice(0, 2), { s: 60, toBar: 242 }], { rippleBar: 0.08 });
  for (const reading of lead) yield { ...reading, pressurePa: toTenth(reading.pressurePa ?? 0) };
  const hour = sampleReadings({ seconds: 3600, startPa: 242e5, dropPaPerS: 0 });
  const startUs = (lead.at(-1)?.timeUs ?? 0) + 100_000;
  const rest = count - lead.length;
  for (let at = 0; at < rest; at += 1) {
    const reading = hour[at % hour.length] as Reading;
    const lost = (at / rest) * 3e5;
    yield { ...reading, pressurePa: toTenth((reading.pressurePa ?? 0) - lost), timeUs: startUs + at * 100_000 };
  }
}

const toTenth = (pascals: number) => pressurePa(Math.round(pascals / 10_000) * 10_000);

function verifyLong(): void {
  const count = millions * 1e6;
  const test = 'T-2026-0001';
  const plan = samplePlan({ ports: [samplePort({ stages: [sampleStage({ dwellS: count / 10 - 120 })] })] });
  const store = openStore(join(folder, 'long.db'), { mode: 'write' });
  const writer = store.beginTest(sampleHeader(test, { plan }));
  let timeUs = 0;
  for (const reading of longHold(count)) {
    writer.append({ kind: 'reading', reading });
    timeUs = reading.timeUs;
  }
  writer.append({ kind: 'end', timeUs, why: 'end of trace' });
  writer.flush();
  const result = judge(plan, store.inputs(test));
  writer.finish(result);
  const memory = process.memoryUsage().rss;
  const [times, pressures] = [new Float64Array(count), new Float64Array(count)];
  let index = 0;
  for (const stretch of store.inputs(test).stretches?.() ?? []) {
    if ('input' in stretch) continue;
    times.set(stretch.readings.timeUs, index);
    pressures.set(stretch.readings.pressurePa, index);
    index += stretch.readings.length;
  }
  const ours: Used[] = [];
  const bare: Used[] = [];
  let grown = 0;
  // In turn, and the best of each: a computer that is busy for a while is so for both.
  for (let round = 0; round < 3; round += 1) {
    ours.push(
      used(() => {
        const report = verifyTest(store, test, judgeStored);
        if (report.problems.length === 0 && report.counts.readings === count) return;
        console.error(report.problems);
        process.exitCode = 1;
      }),
    );
    grown = Math.max(grown, (process.memoryUsage().rss - memory - 16 * count) / 1e6);
    bare.push(
      used(() => {
        const hash = createHash('sha256').update(new Uint8Array(times.buffer)).update(new Uint8Array(pressures.buffer));
        if (!(hash.digest().length === 32 && slopeOf(times, pressures) < 0)) process.exitCode = 1;
      }),
    );
  }
  store.close();
  const [one, other] = [quickest(ours), quickest(bare)];
  const told = ({ ms, cpuMs }: Used): string => `${fixed(ms / 1000)} s, ${fixed(cpuMs / 1000)} s CPU`;
  line(
    `verify and judge ${millions} M readings`,
    told(one),
    `bare hash and fit ${told(other)}`,
    fixed(one.ms / other.ms, 1),
    '4 (2 s for 10 M)',
  );
  line('memory grown meanwhile', `${fixed(grown, 0)} MB`, '', '', 'flat');
}

interface Used {
  readonly ms: number;
  readonly cpuMs: number;
}

function used(work: () => void): Used {
  const [before, cpuBefore] = [now(), process.cpuUsage()];
  work();
  const { user, system } = process.cpuUsage(cpuBefore);
  return { ms: now() - before, cpuMs: (user + system) / 1000 };
}

const quickest = (all: readonly Used[]): Used => all.reduce((best, one) => (one.ms < best.ms ? one : best));

/** What an auditor waits for: tests as a bench makes them, a link a second, with their raw lines. */
function verifyMany(): void {
  const plan = samplePlan();
  const store = openStore(join(folder, 'many.db'), { mode: 'write' });
  const readings = drawTrace(plainHold(0.2), { hz: 10 });
  const count = 100;
  for (let made = 0; made < count; made += 1) {
    const test = store.nextTestId(2026);
    const writer = store.beginTest(sampleHeader(test, { origin: 'live', plan }));
    for (const reading of readings) {
      const text = `${((reading.pressurePa ?? 0) / 1e5).toFixed(2).padStart(8)} bar  21.5 C`;
      writer.rawLine({ timeUs: reading.timeUs, text, accepted: true });
      writer.append({ kind: 'reading', reading });
    }
    writer.append({ kind: 'end', timeUs: readings.at(-1)?.timeUs ?? 0, why: 'end of trace' });
    writer.flush();
    writer.finish(judge(plan, store.inputs(test)));
  }
  let problems = 0;
  const { ms } = quickest(
    Array.from({ length: 3 }, () =>
      used(() => {
        problems += verifyStore(store, judgeStored).problems.length;
      }),
    ),
  );
  store.close();
  if (problems > 0) process.exitCode = 1;
  line(
    `verify and judge ${count} live tests`,
    `${fixed(ms / count, 1)} ms a test`,
    `${readings.length} readings each`,
    '',
    '',
  );
}

function slopeOf(times: Float64Array, pressures: Float64Array): number {
  let [st, sp, stt, stp] = [0, 0, 0, 0];
  for (let index = 0; index < times.length; index += 1) {
    const [t, p] = [(times[index] as number) / 1e6, pressures[index] as number];
    st += t;
    sp += p;
    stt += t * t;
    stp += t * p;
  }
  return (times.length * stp - st * sp) / (times.length * stt - st * st);
}

async function lists(): Promise<void> {
  const path = process.env.DWELLMARK_BENCH_STORE ?? join(folder, 'large.db');
  await fillLargeStore(path, largeStore);
  const reader = openStore(path, { mode: 'read' });
  const filters = {
    'no filter': {},
    customer: { customer: 'works 77' },
    'customer that is none': { customer: 'nobody' },
    serial: { serial: 'CY-5012' },
    'work order': { workOrder: 'WO-4711' },
    verdict: { verdict: 'fail' },
    unsealed: { verdict: 'unsealed' },
    gauge: { gauge: 'SN 7' },
    person: { person: 'brenkeld' },
    dates: { since: '2019-02-01', until: '2019-02-28' },
    text: { text: 'gland 4711' },
  } as const;
  for (const [name, filter] of Object.entries(filters)) {
    const before = now();
    const found = reader.tests({ ...filter, limit: 50 });
    const took = now() - before;
    line(`list by ${name}, ${largeStore} tests`, `${fixed(took, 0)} ms`, `${found.length} lines`, '', '150 ms');
  }
  const before = now();
  const shown = reader.test(`T-2019-${String(largeStore / 2 + 1).padStart(6, '0')}`);
  const readings = [...reader.trace(shown.header.test)].length;
  line('show with its trace', `${fixed(now() - before, 0)} ms`, `${readings} readings`, '', '300 ms');
  line('memory in all', `${fixed(process.memoryUsage().rss / 1e6, 0)} MB`, '', '', '');
  reader.close();
}

try {
  line('', 'dwellmark', 'beside', 'ratio', 'limit');
  commits();
  size();
  verifyLong();
  verifyMany();
  await lists();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
