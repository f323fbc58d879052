import { describe, expect, it } from 'vitest';
import type { PortResult } from '../../src/evaluation/index.js';
import { type Known, type OnBench, type Supply, stiffnessRun } from './stiffness-ensemble.js';

const seeds = 100;
const enough = 95;
const falseAlarms = 2;

interface Case {
  readonly onBench: OnBench;
  readonly supply?: Supply;
  readonly known: readonly Known[];
  readonly recognised: (port: PortResult) => boolean;
}

/** What each kind of knowledge is asked for; where it can't tell, the case stands under "can't tell" below. */
const cases: readonly Case[] = [
  ...(['shut valve at the cylinder', 'no cylinder', 'shut valve at the bench'] as const).map((onBench) => ({
    onBench,
    known: ['flow', 'oil'] as const,
    recognised: ({ stiffness, verdict }: PortResult) => stiffness.verdict === 'too-stiff' && verdict !== 'pass',
  })),
  {
    onBench: 'no cylinder',
    supply: 'pump then booster',
    known: ['strokes'],
    recognised: ({ stiffness }) => stiffness.verdict === 'too-stiff',
  },
  ...(['0.5 % air', '1 % air'] as const).map((onBench) => ({
    onBench,
    known: ['pressure', 'flow', 'oil'] as const,
    recognised: ({ stiffness, verdict }: PortResult) => stiffness.finding === 'free air' && verdict !== 'pass',
  })),
  {
    onBench: 'seal removed, blocked',
    known: ['pressure', 'flow'],
    recognised: ({ stiffness, covers, notCovered }) =>
      stiffness.pistonSeal?.seen === 'cannot be seen' &&
      !covers.includes('piston seal') &&
      notCovered.includes('piston seal'),
  },
  {
    onBench: 'seal removed, gauge',
    known: ['pressure', 'flow'],
    recognised: ({ stiffness, verdict }) => stiffness.pistonSeal?.seen === 'joined' && verdict !== 'pass',
  },
];

async function results(onBench: OnBench, supply: Supply | undefined, known: readonly Known[]) {
  const ports = new Map<Known, PortResult[]>(known.map((kind) => [kind, []]));
  for (let seed = 1; seed <= seeds; seed++) {
    const run = await stiffnessRun(onBench, seed, supply);
    for (const kind of known) ports.get(kind)?.push(run.judged(kind));
  }
  return ports;
}

const alarmed = ({ stiffness }: PortResult): boolean =>
  stiffness.verdict === 'too-stiff' || stiffness.verdict === 'too-soft';

describe(`${seeds} cylinders drawn by chance on the simulated bench`, () => {
  it.each(cases)('$onBench is recognised in at least 95 of 100', async ({ onBench, supply, known, recognised }) => {
    for (const [kind, ports] of await results(onBench, supply, known)) {
      const count = ports.filter(recognised).length;
      expect(count, kind).toBeGreaterThanOrEqual(enough);
    }
  });

  it.each([
    { onBench: 'good', known: ['pressure', 'flow', 'oil'] },
    { onBench: 'good', supply: 'pump then booster', known: ['strokes'] },
    { onBench: 'good', supply: 'booster', known: ['pressure', 'strokes'] },
    { onBench: 'good, gauge', known: ['pressure', 'flow'] },
  ] as const)('$onBench cylinders ($supply) give at most 2 false alarms', async (one) => {
    const supply = 'supply' in one ? one.supply : undefined;
    for (const [kind, ports] of await results(one.onBench, supply, one.known)) {
      const count = ports.filter(alarmed).length;
      expect(count, kind).toBeLessThanOrEqual(falseAlarms);
    }
  });

  it("can't tell a shut valve from the pressure alone, and says so each time", async () => {
    for (const onBench of ['shut valve at the cylinder', 'no cylinder'] as const) {
      const ports = (await results(onBench, undefined, ['pressure'])).get('pressure') ?? [];
      expect(ports.every(({ stiffness }) => stiffness.verdict !== 'agrees')).toBe(true);
      const said = ports.filter(({ stiffness }) => stiffness.text.includes('do not show by themselves')).length;
      expect(said).toBeGreaterThanOrEqual(enough);
    }
  });
});
