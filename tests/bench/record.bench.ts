import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { type Judge, verifyTest } from '../../src/audit/index.js';
import type { Reading } from '../../src/gauge/index.js';
import { openStore, type Store } from '../../src/record/index.js';
import { sampleHeader, sampleReadings, sampleResult } from '../record/sample-test.js';

/**
 * The record beside the least that could be done: a bare commit, a row a reading, a bare hash and fit. Run with
 * `npx tsx tests/bench/record.bench.ts [tests in the large store] [millions of readings]`.
 */
const [largeStore = 100_000, millions = 10] = process.argv.slice(2).map(Number);
const folder = mkdtempSync(join(tmpdir(), 'dwellmark-bench-'));
/** The large store is filled in memory where there is such a place: two hundred thousand commits are not what is measured. */
const largeFolder = existsSync('/dev/shm') ? mkdtempSync('/dev/shm/dwellmark-bench-') : folder;
const widths = [44, 18, 28, 8, 8];
const line = (...cells: [what: string, ours: string, beside: string, ratio: string, limit: string]): void =>
  console.error(cells.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  '));
const now = (): number => performance.now();
const fixed = (value: number, digits = 2): string => value.toFixed(digits);
const percentile = (values: number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length * share)] ?? 0;

function commits(): void {
  const store = openStore(join(folder, 'commit.db'), { mode: 'write' });
  const writer = store.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
  const bare = new Database(join(folder, 'bare.db'));
  bare.pragma('journal_mode = WAL');
  bare.pragma('synchronous = FULL');
  bare.exec('CREATE TABLE chunk (id INTEGER PRIMARY KEY, payload BLOB) STRICT');
  const insert = bare.prepare('INSERT INTO chunk (payload) VALUES (?)');
  const readings = sampleReadings({ seconds: 1000 });
  const [ours, theirs]: [number[], number[]] = [[], []];
  for (let at = 0; at < readings.length; at += 10) {
    for (const reading of readings.slice(at, at + 10)) writer.append({ kind: 'reading', reading });
    const before = now();
    writer.flush();
    ours.push(now() - before);
    const then = now();
    insert.run(Buffer.alloc(60, at));
    theirs.push(now() - then);
  }
  store.close();
  bare.close();
  for (const [name, share] of [
    ['median', 0.5],
    ['p99', 0.99],
  ] as const) {
    const [a, b] = [percentile(ours, share), percentile(theirs, share)];
    line(
      `commit of a second, ${name}`,
      `${fixed(a)} ms`,
      `bare commit ${fixed(b)} ms`,
      fixed(a / b),
      share > 0.9 ? '1.3' : '',
    );
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
    const writer = store.beginTest(sampleHeader(store.nextTestId(2026), { origin: 'live' }), {
      seconds: 1,
      readings: 1000,
      chunk: 1000,
      actsAtOnce: true,
    });
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

/** Least squares of pressure over time by running sums: what any judge must do at least. */
function slope(readings: Iterable<Reading>): number {
  let [n, st, sp, stt, stp] = [0, 0, 0, 0, 0];
  for (const { timeUs, pressurePa } of readings) {
    if (pressurePa === null) continue;
    const t = timeUs / 1e6;
    n += 1;
    st += t;
    sp += pressurePa;
    stt += t * t;
    stp += t * pressurePa;
  }
  return (n * stp - st * sp) / (n * stt - st * st);
}

function verifyLong(): void {
  const store = openStore(join(folder, 'long.db'), { mode: 'write' });
  const writer = store.beginTest(sampleHeader('T-2026-0001'));
  const hour = sampleReadings({ seconds: 3600 });
  const count = millions * 1e6;
  for (let at = 0; at < count; at += 1) {
    const reading = hour[at % hour.length] as Reading;
    writer.append({ kind: 'reading', reading: { ...reading, timeUs: at * 100_000 } });
  }
  writer.flush();
  const judged = sampleResult([]);
  const judge: Judge = (_header, inputs) => {
    const rate = slope(readingsIn(inputs));
    const [port] = judged.ports;
    return { ...judged, ports: port ? [{ ...port, reason: String(rate) }] : [] };
  };
  writer.finish(judge(sampleHeader('x'), store.inputs('T-2026-0001')));
  const payloads = [...store.links('T-2026-0001')].map(({ payload }) => payload);
  const [times, pressures] = [new Float64Array(count), new Float64Array(count)];
  let index = 0;
  for (const { timeUs, pressurePa } of store.trace('T-2026-0001')) {
    times[index] = timeUs;
    pressures[index++] = pressurePa ?? Number.NaN;
  }
  const before = now();
  const hash = createHash('sha256');
  for (const payload of payloads) hash.update(payload);
  hash.digest();
  const bareSlope = slopeOf(times, pressures);
  const bare = now() - before;
  const memory = process.memoryUsage().rss;
  const then = now();
  const report = verifyTest(store, 'T-2026-0001', judge);
  const ours = now() - then;
  const grown = (process.memoryUsage().rss - memory) / 1e6;
  store.close();
  if (report.problems.length > 0 || report.counts.readings !== count || !(bareSlope < 0 || bareSlope > 0)) {
    console.error(report.problems);
    process.exitCode = 1;
  }
  line(
    `verify and judge ${millions} M readings`,
    `${fixed(ours / 1000)} s`,
    `bare hash and fit ${fixed(bare / 1000)} s`,
    fixed(ours / bare, 1),
    '4 (2 s)',
  );
  line('memory grown meanwhile', `${fixed(grown, 0)} MB`, '', '', 'flat');
}

function* readingsIn(inputs: Parameters<Judge>[1]): Iterable<Reading> {
  for (const input of inputs) if (input.kind === 'reading') yield input.reading;
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

function lists(): void {
  const path = join(largeFolder, 'large.db');
  const store = openStore(path, { mode: 'write' });
  fill(store);
  store.close();
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
    person: { person: 'brandt' },
    dates: { since: '2024-03-01', until: '2024-03-31' },
    text: { text: 'gland 4711' },
  } as const;
  for (const [name, filter] of Object.entries(filters)) {
    const before = now();
    const found = reader.tests({ ...filter, limit: 50 });
    const took = now() - before;
    line(`list by ${name}, ${largeStore} tests`, `${fixed(took, 0)} ms`, `${found.length} lines`, '', '150 ms');
  }
  const before = now();
  const shown = reader.test(`T-2024-${String(Math.floor(largeStore / 2)).padStart(4, '0')}`);
  const readings = [...reader.trace(shown.header.test)].length;
  line('show with its trace', `${fixed(now() - before, 0)} ms`, `${readings} readings`, '', '300 ms');
  reader.close();
}

function fill(store: Store): void {
  const readings = sampleReadings({ seconds: 2 });
  const steep = sampleReadings({ seconds: 2, dropPaPerS: 300_000 });
  const start = Date.parse('2020-01-01T08:00:00Z');
  const people = ['J. Okafor', 'P. Brandt', 'S. Ruiz'];
  for (let index = 1; index <= largeStore; index += 1) {
    const header = sampleHeader(`T-2024-${String(index).padStart(4, '0')}`, {
      startedAt: new Date(start + index * 1800_000).toISOString(),
      customer: `Press Works ${index % 500}`,
      workOrder: `WO-${index}`,
      technician: people[index % 3] as string,
      cylinder: { ...sampleHeader('x').cylinder, serial: `CY-${index % 20_000}` },
    });
    const gauge = { ...header.plan.gauge, serial: `SN ${index % 40}` };
    const writer = store.beginTest({ ...header, plan: { ...header.plan, gauge } });
    writer.append({ kind: 'operator', timeUs: 0, act: { kind: 'note', text: `gland ${index} wiped dry` } });
    const chosen = index % 100 === 0 ? steep : readings;
    for (const reading of chosen) writer.append({ kind: 'reading', reading });
    if (index % 10_000 !== 0) writer.finish(sampleResult(chosen.map((reading) => ({ kind: 'reading', reading }))));
  }
}

try {
  line('', 'dwellmark', 'beside', 'ratio', 'limit');
  commits();
  size();
  verifyLong();
  lists();
} finally {
  for (const made of [folder, largeFolder]) rmSync(made, { recursive: true, force: true });
}
