import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  type DemoScenario,
  jobText,
  type LineShape,
  procedureId,
  procedureText,
  scenarios,
} from '../../drivers/simulated/index.js';
import { asSent, type Heard, testOverSerial } from './over-serial.js';

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

const shapeOf = ({ units }: DemoScenario): LineShape => ({
  unit: units,
  decimals: units === 'bar' ? 1 : 0,
  width: 7,
  oilDecimals: 2,
  elapsedDecimals: 6,
  terminator: '\r\n',
});

async function runOverSerial(scenario: DemoScenario): Promise<Heard> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-serial-'));
  folders.push(folder);
  const { instrument, ports, ratePerS } = scenario;
  const { pressure, serial } = instrument;
  const gauge = createSimulatedGauge({ ports, instrument, seed: 5, ratePerS, speed: 'as fast as possible' });
  await gauge.open();
  const heard = await testOverSerial(folder, {
    job: jobText(scenario),
    procedure: { id: procedureId(scenario), text: procedureText(scenario) },
    gauge: {
      serial: serial ?? '',
      range: pressure.unit === 'bar' ? '0..400 bar' : '0..10000 psi',
      resolution: `${pressure.resolution} ${pressure.unit}`,
      accuracy: '0.1 %FS',
    },
    items: gauge.items(),
    shape: shapeOf(scenario),
  });
  await gauge.close();
  return heard;
}

describe('a gauge on a serial line, from its bytes to the verdict', () => {
  it.each(scenarios.map((scenario) => ({ id: scenario.id, scenario })))('$id', async ({ scenario }) => {
    const heard = await runOverSerial(scenario);
    const verdicts = Object.fromEntries(heard.result.ports.map(({ port, verdict }) => [port, verdict]));
    expect(verdicts, heard.result.ports.map(({ reason }) => reason).join('; ')).toEqual(scenario.truth.verdict);
    expect(heard.trace.length).toBeGreaterThan(3000);
    expect(heard.trace).toEqual(asSent(heard));
  });
});
