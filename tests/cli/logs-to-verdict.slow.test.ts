import { randomInt } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { LineShape } from '../../drivers/simulated/index.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import type { GaugeItem } from '../../src/gauge/index.js';
import { runProgram } from '../bench-live/bench-process.js';
import { csvOf } from '../second-world/gauge-chain.js';
import { type Hold, simulate } from '../second-world/hold.js';
import { asReading, jobText } from '../second-world/run-hold.js';
import { knownHolds } from './known-holds.js';
import { testOverSerial } from './over-serial.js';

const seed = Number(process.env.DWELLMARK_LOGS_SEED ?? randomInt(1, 2 ** 31));

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

const makeFolder = (): string => {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-logs-'));
  folders.push(folder);
  return folder;
};

/** The hold's log as a file, judged by `dwellmark import`. */
async function imported({ spec, rows }: Hold): Promise<ResultJson> {
  const folder = makeFolder();
  const [log, job] = [path.join(folder, 'log.csv'), path.join(folder, 'job.toml')];
  writeFileSync(log, csvOf(rows, spec.gauge.resolutionPa));
  writeFileSync(job, jobText(spec));
  const { said } = await runProgram([
    'import',
    log,
    '--job',
    job,
    '--port',
    spec.cylinder.port,
    '--no-store',
    '--json',
  ]);
  return JSON.parse(said.slice(said.indexOf('{'))) as ResultJson;
}

/** The same log sent line by line to `dwellmark test`. */
async function tested({ spec, rows }: Hold): Promise<ResultJson> {
  const { gauge } = spec;
  const decimals = Math.max(0, Math.round(-Math.log10(gauge.resolutionPa / 1e5)));
  const shape: LineShape = { unit: 'bar', decimals, width: 7, elapsedDecimals: 4, terminator: '\r\n' };
  async function* items(): AsyncGenerator<GaugeItem> {
    for (const row of rows) yield { kind: 'reading', reading: asReading(row, 0) };
  }
  const { result } = await testOverSerial(makeFolder(), {
    job: jobText(spec),
    gauge: {
      serial: 'G-1',
      range: `0..${gauge.rangePa / 1e5} bar`,
      resolution: `${gauge.resolutionPa / 1e5} bar`,
      accuracy: '0.25 %FS',
    },
    items: items(),
    shape,
  });
  return result;
}

describe(`holds whose truth is known, as logs and over a serial line, seed ${seed}`, () => {
  it.each(knownHolds)('$name', async ({ spec, verdicts, says, saysOn }) => {
    const hold = simulate(spec(seed));
    const [log, live] = await Promise.all([imported(hold), tested(hold)]);
    const [stage] = log.ports.map(({ stages }) => stages.at(-1));
    const words = JSON.stringify(log.ports);
    expect(verdicts, words).toContain(log.verdict);
    if (says && (saysOn === undefined || saysOn === log.verdict)) expect(words).toMatch(says);
    expect(Number.isFinite(stage?.dropPa) && (stage?.dropUncertaintyPa ?? 0) > 0, words).toBe(true);
    // Nothing that an operator did lies within the dwell that was judged, unless that is what spoilt it.
    if (log.verdict === 'pass' && hold.spec.operator.topUps.length > 0)
      expect((stage?.dwellStartUs ?? 0) / 1e6).toBeGreaterThan(hold.truth.shutInS - 1);
    const judged = (result: ResultJson) =>
      result.ports.map(({ port, verdict, stages }) => [port, verdict, stages.map((one) => [one.dropPa, one.reason])]);
    expect(live.verdict).toBe(log.verdict);
    expect(judged(live)).toEqual(judged(log));
  });
});
