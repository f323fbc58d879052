import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  type DemoScenario,
  jobText,
  type LineShape,
  openPtyPair,
  procedureId,
  procedureText,
  type SentLine,
  scenarios,
  speak,
} from '../../drivers/simulated/index.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import type { Reading } from '../../src/gauge/index.js';
import { startProgram, until, withStore } from '../bench-live/bench-process.js';

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** The instrument sends its own clock with every reading, so that a quarter of an hour can go by in seconds. */
const shapeOf = ({ units }: DemoScenario): LineShape => ({
  unit: units,
  decimals: units === 'bar' ? 1 : 0,
  width: 7,
  oilDecimals: 2,
  elapsedDecimals: 6,
  terminator: '\r\n',
});

/** A shop whose gauge is on a serial port, with the scenario's job. */
function makeShop(scenario: DemoScenario, port: string): { folder: string; job: string } {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-serial-'));
  folders.push(folder);
  mkdirSync(path.join(folder, 'templates'));
  writeFileSync(path.join(folder, 'templates', `${procedureId(scenario)}.toml`), procedureText(scenario));
  const job = path.join(folder, 'job.toml');
  writeFileSync(job, jobText(scenario));
  const { pressure, serial } = scenario.instrument;
  const range = pressure.unit === 'bar' ? '0..400 bar' : '0..10000 psi';
  writeFileSync(
    path.join(folder, 'dwellmark.toml'),
    `name = "Harrow Fell Hydraulics"

[[gauge]]
serial = "${serial}"
range = "${range}"
resolution = "${pressure.resolution} ${pressure.unit}"
accuracy = "0.1 %FS"
driver = "ascii-stream"
[gauge.line]
path = "${port}"
baud_rate = 115200
pattern = "{elapsed} s {pressure} {unit} {oil} C"
unit = "${pressure.unit}"
`,
  );
  return { folder, job };
}

async function runOverSerial(
  scenario: DemoScenario,
): Promise<{ result: ResultJson; trace: Reading[]; sent: readonly SentLine[] }> {
  const pty = await openPtyPair();
  const { folder, job } = makeShop(scenario, pty.path);
  const gauge = createSimulatedGauge({
    ports: scenario.ports,
    instrument: scenario.instrument,
    seed: 5,
    ratePerS: scenario.ratePerS,
    speed: 'as fast as possible',
  });
  await gauge.open();
  const { child, said } = startProgram([
    'test',
    job,
    '--unattended',
    '--json',
    '--technician',
    'Marek Dunn',
    '--shop',
    folder,
  ]);
  let over = false;
  const left = new Promise<void>((resolve) => child.on('close', () => resolve()));
  void left.then(() => {
    over = true;
  });
  const begun = () => {
    if (over) throw new Error(`the test ended before it began: ${said()}`);
    try {
      return withStore(folder, (store) => store.unfinished().length > 0);
    } catch {
      return false;
    }
  };
  await until('the test has begun', begun);
  const sent: SentLine[] = [];
  void speak(gauge.items(), pty, { shape: shapeOf(scenario), onSent: (line) => sent.push(line) }).catch(
    () => undefined,
  );
  await left;
  pty.close();
  await gauge.close();
  const text = said();
  const result = JSON.parse(text.slice(text.indexOf('\n{\n') + 1, text.lastIndexOf('\n}') + 2)) as ResultJson;
  return { result, trace: withStore(folder, (store) => [...store.trace(result.test)]), sent };
}

describe('a gauge on a serial line, from its bytes to the verdict', () => {
  it.each(scenarios.map((scenario) => ({ id: scenario.id, scenario })))('$id', async ({ scenario }) => {
    const { result, trace, sent } = await runOverSerial(scenario);
    const verdicts = Object.fromEntries(result.ports.map(({ port, verdict }) => [port, verdict]));
    expect(verdicts).toEqual(scenario.truth.verdict);
    const startUs = (trace[0]?.timeUs ?? 0) - (sent[0]?.timeUs ?? 0);
    const asSent = sent.slice(0, trace.length).map(({ reading }) => ({ ...reading, timeUs: reading.timeUs + startUs }));
    expect(trace.length).toBeGreaterThan(3000);
    expect(trace).toEqual(asSent);
  });
});
