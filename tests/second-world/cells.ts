import { Chance } from './chance.js';
import { type Bore, bores, type Colour, colours, drawHold, type Fixed, gaugeOfColour } from './draw.js';
import type { Gauge, HoldSpec, LeakCourse } from './hold-spec.js';
import { allowedPa, type DwellTimes, steadyLeak, type Trial, tryHold, tryInDwell, withLeaks } from './trial.js';

/** What is counted of a cell's holds. */
export type Count =
  | 'pass'
  | 'fail'
  | 'pass at a loss of the limit or more'
  | 'fail at a loss of the limit or less'
  | 'pass within 5 min'
  | 'pass within 10 min'
  | 'fail within 10 min'
  | 'fed and passed'
  | 'not finite'
  | 'covered';

export interface Bound {
  readonly count: Count;
  readonly atLeast?: number;
  readonly atMost?: number;
}

/** A kind of hold, and what must come of it. */
export interface Cell {
  readonly group: string;
  readonly name: string;
  readonly bounds: readonly Bound[];
  run(seed: number): Trial;
}

const noFalsePass: Bound = { count: 'pass at a loss of the limit or more', atMost: 0.025 };
const noFalseFail: Bound = { count: 'fail at a loss of the limit or less', atMost: 0.025 };
/** Asked of every cell. */
export const always: readonly Bound[] = [
  noFalsePass,
  noFalseFail,
  { count: 'covered', atLeast: 0.92, atMost: 0.98 },
  { count: 'not finite', atMost: 0 },
];

type Make = (chance: Chance, seed: number) => HoldSpec;
const cellOf =
  (group: string) =>
  (name: string, make: Make, bounds: readonly Bound[] = []): Cell => ({
    group,
    name,
    bounds: [...bounds, ...always],
    run: (seed) => tryHold(make(Chance.of(seed, 'cell'), seed)),
  });
/** A cell in whose dwell something happens. */
const dwellCell =
  (group: string) =>
  (
    name: string,
    make: Make,
    happens: (spec: HoldSpec, dwell: DwellTimes, chance: Chance) => HoldSpec,
    bounds: readonly Bound[] = [],
  ): Cell => ({
    group,
    name,
    bounds: [...bounds, ...always],
    run: (seed) =>
      tryInDwell(make(Chance.of(seed, 'cell'), seed), (spec, dwell) =>
        happens(spec, dwell, Chance.of(seed, 'in the dwell')),
      ),
  });

const leaking = (seed: number, multiple: number, fixed: Fixed = {}): HoldSpec => {
  const spec = drawHold(seed, fixed);
  return multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
};
const held = (spec: HoldSpec, heldS: number): HoldSpec => ({ ...spec, operator: { ...spec.operator, heldS } });

function grossCells(): Cell[] {
  const cell = cellOf('gross leaks');
  const mustFail: Bound = { count: 'fail', atLeast: 0.97 };
  return [
    ...[3, 5, 10, 20, 50].map((multiple) =>
      cell(`${multiple} x, let go a dwell after shut-in`, (_, seed) => held(leaking(seed, multiple), 300), [mustFail]),
    ),
    cell('3 to 50 x, held on', (c, seed) => leaking(seed, c.octaves(3, 50)), [mustFail]),
    cell('3 to 50 x, dwell 3 min, let go', (c, seed) => held(leaking(seed, c.octaves(3, 50), { dwellS: 180 }), 180), [
      mustFail,
    ]),
    cell('2 x with a probe, let go after 3.5 to 7 min', (c, seed) =>
      held(leaking(seed, 2, { probe: 'any good' }), c.between(210, 420)),
    ),
  ];
}

function limitCells(): Cell[] {
  const without = cellOf('about the limit, no probe');
  const withProbe = cellOf('about the limit, probe');
  const about = (name: string, low: number, high: number) => ({ name, low, high });
  const sizes = [
    about('no leak', 0, 0),
    about('0.5 x', 0.5, 0.5),
    about('just below the limit', 0.96, 1),
    about('just above the limit', 1.01, 1.05),
    about('1.5 x', 1.5, 1.5),
  ];
  const kinds = ['good', 'lag', 'steps', 'offset'] as const;
  return [
    ...sizes.map(({ name, low, high }) => without(name, (c, seed) => leaking(seed, c.between(low, high)))),
    ...kinds.flatMap((probe) =>
      sizes.map(({ name, low, high }) =>
        withProbe(
          `${name}, ${probe}`,
          (c, seed) => leaking(seed, c.between(low, high), { probe }),
          name === '1.5 x' && probe === 'good' ? [{ count: 'fail', atLeast: 0.8 }] : [],
        ),
      ),
    ),
    ...[sizes[0], sizes[3]].flatMap((size) =>
      size
        ? [
            withProbe(`${size.name}, sees the room`, (c, s) =>
              leaking(s, c.between(size.low, size.high), { probe: 'room' }),
            ),
          ]
        : [],
    ),
  ];
}

/** A leak that loses so many allowed drops between now and the dwell's end. */
function lateCourse(
  kind: 'late' | 'growing',
  spec: HoldSpec,
  fromS: number,
  endS: number,
  multiple: number,
): LeakCourse {
  const totalPa = multiple * allowedPa(spec);
  return kind === 'late'
    ? { kind, fromS, paPerS: totalPa / (endS - fromS) }
    : { kind, fromS, overS: endS - fromS, totalPa, power: 1 };
}

function courseCells(): Cell[] {
  const cell = dwellCell('leaks that change in the dwell');
  const happens =
    (kind: 'late' | 'growing', low: number, high: number, from: number, to: number) =>
    (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance): HoldSpec => {
      const fromS = startS + c.between(from, to) * (endS - startS);
      const law = c.pick(['orifice', 'gap', 'constant'] as const);
      return withLeaks(spec, { law, course: lateCourse(kind, spec, fromS, endS, c.between(low, high)) });
    };
  const bursts =
    (multiple: number) =>
    (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance): HoldSpec => {
      const count = Math.round(c.between(4, 15));
      const atS = Array.from({ length: count }, () => c.between(startS + 2, endS - 5)).sort((a, b) => a - b);
      const eachPa = (multiple * allowedPa(spec)) / count;
      return withLeaks(spec, { law: 'constant', course: { kind: 'bursts', atS, eachPa, lastsS: c.between(0.2, 1) } });
    };
  const stopping =
    (low: number, high: number) =>
    (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance): HoldSpec => {
      const untilS = startS + c.between(0.2, 0.8) * (endS - startS);
      const paPerS = (c.between(low, high) * allowedPa(spec)) / (untilS - startS);
      return withLeaks(spec, { law: 'constant', course: { kind: 'stopping', untilS, paPerS } });
    };
  const plain: Make = (_, seed) => drawHold(seed);
  const probed: Make = (_, seed) => drawHold(seed, { probe: 'good' });
  const short: Make = (_, seed) => drawHold(seed, { dwellS: 180, probe: 'good' });
  return [
    cell('late at 20 to 80 %, just above, probe', probed, happens('late', 1.02, 1.1, 0.2, 0.8)),
    cell('late at 20 to 80 %, just above, no probe', plain, happens('late', 1.02, 1.1, 0.2, 0.8)),
    cell('late at 20 to 80 %, just above, 3 min, probe', short, happens('late', 1.02, 1.1, 0.2, 0.8)),
    cell('late at 20 to 80 %, 1.5 x, probe', probed, happens('late', 1.5, 1.5, 0.2, 0.8)),
    cell('late at 93 to 97 %, 1.1 to 2 x', plain, happens('late', 1.1, 2, 0.93, 0.97)),
    cell('late at 93 to 97 %, 1.1 to 2 x, probe', probed, happens('late', 1.1, 2, 0.93, 0.97)),
    cell('growing from 0 to 60 %, just above, probe', probed, happens('growing', 1.02, 1.1, 0, 0.6)),
    cell('growing from 0 to 60 %, just above, no probe', plain, happens('growing', 1.02, 1.1, 0, 0.6)),
    cell('growing, 3 x', plain, happens('growing', 3, 3, 0, 0.6)),
    cell('stops at 20 to 80 %, 0.5 to 0.95 x, probe', probed, stopping(0.5, 0.95)),
    cell('stops at 20 to 80 %, 0.5 to 0.95 x, no probe', plain, stopping(0.5, 0.95)),
    cell('stops at 20 to 80 %, just above, probe', probed, stopping(1.02, 1.1)),
    cell('bursts, 0.5 x, probe', probed, bursts(0.5)),
    cell('bursts, 1.05 x, probe', probed, bursts(1.05)),
    cell('bursts, 3 x', plain, bursts(3), [{ count: 'fail', atLeast: 0.97 }]),
  ];
}

function feedCells(): Cell[] {
  const cell = dwellCell('oil fed in the dwell');
  const atHz = (hz: number): Partial<Gauge> => ({ lineHz: hz, updateHz: hz });
  const never: Bound = { count: 'fed and passed', atMost: 0 };
  /** Leak that the feed hides, or a tight cylinder that needed none. */
  const hidden =
    (hz: number): Make =>
    (c, seed) => {
      const spec = drawHold(seed, { gauge: atHz(hz), probe: c.chance(0.3) ? 'good' : null });
      const multiple = c.pick([0, feedOf(seed), feedOf(seed) + 0.5]);
      return multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
    };
  const feedOf = (seed: number): number => Chance.of(seed, 'how much is fed').octaves(0.3, 3);
  const steady =
    (overS: number) =>
    (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance): HoldSpec => {
      const fromS = c.between(startS + 5, Math.max(startS + 6, endS - overS - 5));
      const feed = { kind: 'steady', fromS, overS, totalPa: feedOf(spec.seed) * allowedPa(spec) } as const;
      return { ...spec, operator: { ...spec.operator, feeds: [feed] } };
    };
  const strokes = (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance): HoldSpec => {
    const total = feedOf(spec.seed) * allowedPa(spec);
    const count = Math.max(2, Math.round(total / c.octaves(0.1e5, 0.5e5)));
    const everyS = (endS - startS - 10) / count;
    const atS = Array.from({ length: count }, (_, i) => startS + 5 + everyS * (i + 0.2 * c.next()));
    const feed = { kind: 'strokes', atS, eachPa: total / count, lastsS: Math.min(0.5, everyS / 2) } as const;
    return { ...spec, operator: { ...spec.operator, feeds: [feed] } };
  };
  return [1, 2, 10].flatMap((hz) => [
    ...[2, 20, 60, 200].map((overS) => cell(`over ${overS} s, ${hz} Hz`, hidden(hz), steady(overS), [never])),
    cell(`strokes of 0.1 to 0.5 bar, ${hz} Hz`, hidden(hz), strokes, [never]),
  ]);
}

function settleCells(): Cell[] {
  const cell = cellOf('topped up while settling');
  const toppedUp = (c: Chance, seed: number, multiple: number): HoldSpec => {
    const spec = leaking(seed, multiple);
    const { operator, test } = spec;
    const topUp = {
      afterS: c.between(10, 400),
      toPa: Math.max(operator.letBackToPa ?? operator.aimPa, test.targetPa * 1.012),
      paPerS: c.octaves(0.5e5, 4e5),
    };
    return { ...spec, operator: { ...operator, topUps: [topUp] } };
  };
  const never: Bound = { count: 'fed and passed', atMost: 0 };
  return [0, 1.05, 1.5].map((multiple) =>
    cell(multiple === 0 ? 'tight' : `${multiple} x`, (c, seed) => toppedUp(c, seed, multiple), [never]),
  );
}

function heatCells(): Cell[] {
  const cell = cellOf('heat of compression, no probe');
  const small: readonly Bore[] = [40, 63, 100, 160];
  const rarely: Bound = { count: 'fail', atMost: 0.01 };
  const tight = (bore: Bore): readonly Bound[] =>
    small.includes(bore)
      ? [{ count: 'pass within 5 min', atLeast: 0.9 }, { count: 'pass within 10 min', atLeast: 0.97 }, rarely]
      : [{ count: 'pass within 10 min', atLeast: 0.85 }, rarely];
  const leaks: readonly Bound[] = [
    { count: 'pass', atMost: 0 },
    { count: 'fail within 10 min', atLeast: 0.85 },
  ];
  return [
    ...bores.map((bore) => cell(`tight, bore ${bore}`, (_, seed) => drawHold(seed, { bores: [bore] }), tight(bore))),
    ...bores.map((bore) =>
      cell(
        `tight, bore ${bore}, dwell 3 min`,
        (_, seed) => drawHold(seed, { bores: [bore], dwellS: 180 }),
        tight(bore),
      ),
    ),
    ...bores.map((bore) => cell(`2.5 x, bore ${bore}`, (_, seed) => leaking(seed, 2.5, { bores: [bore] }), leaks)),
    cell('2.5 x, dwell 3 min', (_, seed) => leaking(seed, 2.5, { dwellS: 180 }), leaks),
  ];
}

function gaugeCells(): Cell[] {
  const cell = cellOf('gauges on good cylinders');
  const good: Bound = { count: 'pass', atLeast: 0.97 };
  const usual: readonly Bore[] = [40, 63, 100, 160];
  const tight = (c: Chance, seed: number, gauge: Partial<Gauge>): HoldSpec =>
    drawHold(seed, { bores: usual, creep: 'none', gauge, probe: c.chance(0.5) ? 'good' : null });
  const still = { noise: { kind: 'none' }, zeroCreepPaPerS: 0 } as const;
  const leaky = cellOf('gauges on leakers just above the limit');
  const above = (c: Chance, seed: number, gauge: Partial<Gauge>): HoldSpec => {
    const spec = tight(c, seed, gauge);
    return withLeaks(spec, steadyLeak(spec, c.between(1.01, 1.05)));
  };
  const kinds: readonly { readonly name: string; readonly gauge: (c: Chance) => Partial<Gauge> }[] = [
    { name: 'quiet, 0.01 to 0.1 bar', gauge: (c) => ({ ...still, resolutionPa: c.pick([0.01e5, 0.05e5, 0.1e5]) }) },
    ...[0.5, 1, 2].map((bar) => ({
      name: `quiet, ${bar} bar`,
      gauge: () => ({ ...still, resolutionPa: bar * 1e5 }),
    })),
    ...[0.5, 1, 2].map((bar) => ({ name: `some noise, ${bar} bar`, gauge: () => ({ resolutionPa: bar * 1e5 }) })),
    ...colours.map((colour: Colour) => ({ name: colour, gauge: (c: Chance) => gaugeOfColour(c, colour) })),
    ...[0.2, 1, 20, 100].map((hz) => ({ name: `${hz} Hz`, gauge: () => ({ lineHz: hz, updateHz: hz }) })),
    { name: 'zero creeps by 0.1 bar', gauge: (c) => ({ zeroCreepPaPerS: c.pick([-1, 1]) * 1e-4 * 1e5 }) },
  ];
  return [
    ...kinds.map(({ name, gauge }) => cell(name, (c, seed) => tight(c, seed, gauge(c)), [good])),
    ...kinds.map(({ name, gauge }) => leaky(name, (c, seed) => above(c, seed, gauge(c)))),
  ];
}

function hiddenCells(): Cell[] {
  const cell = dwellCell('what a gauge cannot see');
  return [
    cell(
      'valve shut at 5 to 60 % of the dwell, 2 x',
      (_, seed) => leaking(seed, 2),
      (spec, { startS, endS }, c) => ({
        ...spec,
        operator: { ...spec.operator, valveShutAtS: startS + c.between(0.05, 0.6) * (endS - startS) },
      }),
    ),
  ];
}

/** Every kind of hold that is tried. */
export const cells: readonly Cell[] = [
  ...grossCells(),
  ...limitCells(),
  ...courseCells(),
  ...feedCells(),
  ...settleCells(),
  ...heatCells(),
  ...gaugeCells(),
  ...hiddenCells(),
];

/** A hold's own seed: apart for each cell, however many are asked. */
export function seedOf(seed: number, cell: Cell, hold: number): number {
  let hash = seed >>> 0;
  for (const sign of `${cell.group}/${cell.name}/${hold}`)
    hash = Math.imul(hash ^ (sign.codePointAt(0) ?? 0), 2654435761) >>> 0;
  return hash;
}
