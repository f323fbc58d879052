import { drawHold, type Fixed } from '../second-world/draw.js';
import { simulate } from '../second-world/hold.js';
import type { Feed, HoldSpec } from '../second-world/hold-spec.js';
import { allowedPa, steadyLeak, withLeaks } from '../second-world/trial.js';

/** A kind of hold that is told apart by what went on in it, large enough that no draw of the rest hides it. */
export interface KnownHold {
  readonly name: string;
  readonly spec: (seed: number) => HoldSpec;
  readonly verdicts: readonly ('pass' | 'fail' | 'invalid' | 'inconclusive')[];
  /** What its reason or its notes must say; with some verdicts alone. */
  readonly says?: RegExp;
  readonly saysOn?: 'pass' | 'invalid';
}

/** Ordinary bores, pumped up steadily and then left alone; a gauge of 0.1 bar at 2 Hz. */
function hold(seed: number, fixed: Fixed = {}): HoldSpec {
  const gauge = { lineHz: 2, updateHz: 2, resolutionPa: 0.1e5, noise: { kind: 'white', sdPa: 0.04e5 } } as const;
  const spec = drawHold(seed, { bores: [63, 100], ...fixed, gauge: { ...gauge, ...fixed.gauge } });
  const { targetPa, dwellS } = spec.test;
  const operator = {
    ...spec.operator,
    pump: { kind: 'steady', paPerS: 5e5 },
    aimPa: 1.0125 * targetPa,
    letBackToPa: null,
    heldS: dwellS + 60,
    ...fixed.operator,
  } as const;
  return { ...spec, operator };
}

const leaking = (seed: number, multiple: number, fixed: Fixed = {}): HoldSpec => {
  const spec = hold(seed, fixed);
  return withLeaks(spec, steadyLeak(spec, multiple));
};

/** When the oil was shut in, s on the log's clock: the dwell counts from here. */
const shutInS = (spec: HoldSpec): number => simulate(spec).truth.shutInS;

const feeding = (spec: HoldSpec, feed: Feed): HoldSpec => ({
  ...spec,
  operator: { ...spec.operator, feeds: [feed] },
});

/** So many allowed drops fed in the middle of a dwell that loses more. */
const fedOver = (seed: number, overS: number): HoldSpec => {
  const spec = leaking(seed, 2);
  return feeding(spec, { kind: 'steady', fromS: shutInS(spec) + 150, overS, totalPa: 1.5 * allowedPa(spec) });
};

const stroked = (seed: number): HoldSpec => {
  const spec = leaking(seed, 2.5);
  const atS = Array.from({ length: 50 }, (_, stroke) => shutInS(spec) + 10 + 6 * stroke);
  return feeding(spec, { kind: 'strokes', atS, eachPa: (2 * allowedPa(spec)) / 50, lastsS: 0.5 });
};

const late = (seed: number): HoldSpec => {
  const spec = hold(seed);
  const fromS = shutInS(spec) + spec.test.dwellS - 15;
  return withLeaks(spec, { law: 'constant', course: { kind: 'late', fromS, paPerS: (3 * allowedPa(spec)) / 15 } });
};

const toppedUpAfterS = 120;
const toppedUp = (seed: number): HoldSpec => {
  const spec = hold(seed);
  const topUp = { afterS: toppedUpAfterS, toPa: 1.03 * spec.test.targetPa, paPerS: 2e5 };
  return { ...spec, operator: { ...spec.operator, topUps: [topUp], heldS: toppedUpAfterS + spec.test.dwellS + 60 } };
};

const shutValve = (seed: number): HoldSpec => {
  const spec = leaking(seed, 3);
  return { ...spec, operator: { ...spec.operator, valveShutAtS: shutInS(spec) + 60 } };
};

export const knownHolds: readonly KnownHold[] = [
  // A fall of 15 s is too short to be sure of in one of some fifteen holds; it never passes.
  {
    name: 'a leak that begins 15 s before the end',
    spec: late,
    verdicts: ['fail', 'inconclusive'],
    says: /sped up|last fifth/,
  },
  {
    name: 'oil fed in over a minute',
    spec: (seed) => fedOver(seed, 60),
    verdicts: ['invalid', 'fail'],
    says: /fed in|topped up/,
    saysOn: 'invalid',
  },
  {
    name: 'oil fed in over 20 s',
    spec: (seed) => fedOver(seed, 20),
    verdicts: ['invalid', 'fail'],
    says: /fed in|topped up/,
    saysOn: 'invalid',
  },
  {
    name: 'oil fed in by strokes',
    spec: stroked,
    verdicts: ['invalid', 'fail'],
    says: /fed in|topped up|strokes/,
    saysOn: 'invalid',
  },
  {
    name: 'four times the allowed drop, let go at the end of the dwell',
    spec: (seed) => leaking(seed, 4, { operator: { heldS: 305 } }),
    verdicts: ['fail'],
  },
  {
    name: 'heat of compression that leaves, and no leak',
    spec: (seed) => hold(seed, { creep: 'none', operator: { heldS: 600 } }),
    verdicts: ['pass', 'inconclusive'],
  },
  { name: 'topped up two minutes after the ramp', spec: toppedUp, verdicts: ['pass', 'inconclusive'] },
  {
    name: 'a display of whole bars without noise',
    spec: (seed) => hold(seed, { gauge: { resolutionPa: 1e5, noise: { kind: 'none' } } }),
    verdicts: ['pass', 'inconclusive'],
  },
  {
    name: 'a valve shut between gauge and leaking cylinder',
    spec: shutValve,
    verdicts: ['pass', 'fail', 'inconclusive', 'invalid'],
    says: /stood still\. Check that no valve/,
    saysOn: 'pass',
  },
];
