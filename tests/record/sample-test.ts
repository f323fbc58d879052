import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import type { PortResult, StageResult, TestResult, Verdict } from '../../src/evaluation/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { openStore, type Store, type TestHeader } from '../../src/record/index.js';
import type { StoreOptions } from '../../src/record/stored-test.js';
import { pressureDifferencePa, pressurePa, temperatureDifferenceK, temperatureK } from '../../src/units/index.js';

/** A folder that goes away with the test file; in memory where the computer has such a place, as nothing here is kept. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'dwellmark-record-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A clock that starts on a fixed day and moves on by a second with every look. */
export function steadyClock(start = '2026-03-02T08:00:00Z'): Pick<StoreOptions, 'now' | 'monotonicMs'> {
  let ms = Date.parse(start);
  let monotonic = 1000;
  return {
    now: () => {
      ms += 1000;
      return new Date(ms);
    },
    monotonicMs: () => {
      monotonic += 1000;
      return monotonic;
    },
  };
}

export const newStore = (path: string, options: Partial<StoreOptions> = {}): Store =>
  openStore(path, { mode: 'write', ...steadyClock(), ...options });

export function sampleHeader(test: string, changes: Partial<TestHeader> = {}): TestHeader {
  return {
    format: 'dwellmark test 1',
    test,
    shop: { name: 'Kestrel Hydraulics', address: '4 Quay Road, Millhaven' },
    bench: 'bench 2',
    startedAt: '2026-03-02T09:00:00.000+01:00',
    clock: 'system clock',
    technician: 'J. Okafor',
    workOrder: 'WO-2207',
    customer: 'Kürnwater Press Works',
    cylinder: {
      kind: 'double-acting',
      boreM: 0.1,
      rodM: 0.056,
      strokeM: 0.5,
      ratedPressurePa: pressurePa(160e5),
      serial: 'CY-1184',
      maker: 'Norrhafel',
      model: 'HC-100',
    },
    condition: 'resealed',
    received: '2026-02-27',
    fluid: {
      name: 'ISO VG 46',
      bulkModulusPa: 1.5e9,
      bulkModulusRelU: 0.1,
      expansionPerK: 7e-4,
      expansionRelU: 0.05,
      densityKgPerM3: 870,
      heatCapacityJPerKgK: 1900,
      viscosityPaS: 0.04,
      viscosityAtK: temperatureK(313.15),
      source: 'invented for the tests',
    },
    plan: {
      format: 'dwellmark plan 1',
      procedure: {
        id: 'cylinder-proof',
        title: 'Cylinder proof test',
        revision: '3',
        source: 'shop',
        sha256: '0'.repeat(64),
        asShipped: true,
      },
      gauge: {
        serial: 'SN 40117',
        rangeLowPa: pressurePa(0),
        rangeHighPa: pressurePa(400e5),
        resolutionPa: pressureDifferencePa(10_000),
        accuracyOfSpan: 0.0025,
      },
      ports: [],
      attendance: 'unattended',
      attemptsCap: 2,
      dropsPerMl: 20,
      unmeasuredTemperatureK: temperatureDifferenceK(0.5),
    },
    findings: [],
    gauge: { driver: 'simulated', source: 'simulated bench', unit: 'bar', channels: { opposite: false, oil: true } },
    units: 'bar',
    jobText: 'work_order = "WO-2207"\n',
    procedureText: 'id = "cylinder-proof"\n',
    software: { version: '0.1.0', evaluation: '1' },
    origin: 'imported',
    benchCheck: null,
    ...changes,
  };
}

/** The same header with another gauge. */
export const withGauge = (header: TestHeader, serial: string): TestHeader => ({
  ...header,
  plan: { ...header.plan, gauge: { ...header.plan.gauge, serial } },
});

/** A number between 0 and 1 from a seed: same seed, same row of numbers (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

export interface TraceShape {
  readonly seconds: number;
  readonly seed?: number;
  readonly perSecond?: number;
  readonly startPa?: number;
  readonly dropPaPerS?: number;
  /** Peak of the jitter of the times, microseconds. */
  readonly jitterUs?: number;
  /** Times are whole multiples of this. */
  readonly beatUs?: number;
  readonly oil?: boolean;
  readonly resolutionPa?: number;
}

/** A dwell at 10 readings a second on a 0.1 bar gauge with oil temperature to 0.01 K. */
export function sampleReadings(shape: TraceShape): Reading[] {
  const random = seeded(shape.seed ?? 1);
  const {
    seconds,
    perSecond = 10,
    startPa = 240e5,
    dropPaPerS = 500,
    jitterUs = 0,
    beatUs = 1,
    resolutionPa = 10_000,
  } = shape;
  return Array.from({ length: seconds * perSecond }, (_, index) => {
    const at = index / perSecond;
    const noise = (random() + random() + random() - 1.5) * 12_000;
    const pressure = Math.round((startPa - dropPaPerS * at + noise) / resolutionPa) * resolutionPa;
    const milli = Math.round((298_150 + 2 * Math.sin(at / 20) * 100 + random() * 20) / 10) * 10;
    return {
      timeUs: Math.round((at * 1e6 + (random() - 0.5) * 2 * jitterUs) / beatUs) * beatUs,
      pressurePa: pressurePa(Math.round(pressure)),
      oppositePa: null,
      oilK: shape.oil === false ? null : temperatureK(milli / 1000),
      flags: 0,
    };
  });
}

export const asInputs = (readings: readonly Reading[]): HoldInput[] => [
  ...readings.map((reading): HoldInput => ({ kind: 'reading', reading })),
  { kind: 'end', timeUs: readings.at(-1)?.timeUs ?? 0, why: 'end of trace' },
];

/** A result as small as the type allows: what was read, and a verdict by how far it fell. */
export function sampleResult(inputs: Iterable<HoldInput>, allowedDropPa = 300_000): TestResult {
  let first: Reading | undefined;
  let last: Reading | undefined;
  let readings = 0;
  for (const input of inputs) {
    if (input.kind !== 'reading' || input.reading.pressurePa === null) continue;
    first ??= input.reading;
    last = input.reading;
    readings += 1;
  }
  const start = first?.pressurePa ?? pressurePa(0);
  const end = last?.pressurePa ?? pressurePa(0);
  const drop = pressureDifferencePa(start - end);
  const verdict: Verdict = readings === 0 ? 'invalid' : drop > allowedDropPa ? 'fail' : 'pass';
  const stage: StageResult = {
    name: 'proof',
    verdict,
    reason: `fell {difference:${drop}}`,
    targetPa: pressurePa(240e5),
    startPa: start,
    endPa: end,
    levelUncertaintyPa: pressureDifferencePa(1e5),
    dwellS: readings / 10,
    demandedDwellS: readings / 10,
    dwellStartUs: first?.timeUs ?? null,
    dwellEndUs: last?.timeUs ?? null,
    readings,
    dropPa: drop,
    dropUncertaintyPa: pressureDifferencePa(20_000),
    coverageFactor: 2,
    ratePaPerS: readings > 1 ? drop / (((last?.timeUs ?? 0) - (first?.timeUs ?? 0)) / 1e6) : null,
    rateUncertaintyPaPerS: 10,
    temperatureCorrected: false,
    thermalDropPa: null,
    temperatureToExplainK: null,
    leakM3PerS: drop * 1e-15,
    leakUncertaintyM3PerS: 1e-11,
    allowedDropPa: pressureDifferencePa(allowedDropPa),
    governingLimit: null,
    decision: 'simple',
    smallestResolvableDropPa: pressureDifferencePa(20_000),
    budget: [],
    diagnosis: null,
    flags: [],
  };
  const port: PortResult = {
    port: 'A',
    attempt: 1,
    repeat: null,
    verdict,
    reason: stage.reason,
    position: 'extended',
    opposite: 'open',
    covers: ['piston seal'],
    notCovered: ['rod seal'],
    stages: [stage],
    stiffness: { verdict: 'not-checked', seenM3PerPa: null, expectedM3PerPa: null, airFraction: null, text: '' },
    zeroBeforePa: null,
    zeroAfterPa: null,
    peakPa: start,
    observations: [],
    collected: null,
    events: [],
    earlierAttempts: [],
  };
  return { evaluationVersion: '1', verdict, ports: [port] };
}

/** Writes a whole sealed test and gives its head. */
export function writeTest(store: Store, header: TestHeader, inputs: readonly HoldInput[]): string {
  const writer = store.beginTest(header);
  for (const input of inputs) writer.append(input);
  return writer.finish(sampleResult(inputs)).head;
}
