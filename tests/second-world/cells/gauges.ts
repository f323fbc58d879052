import type { Chance } from '../chance.js';
import { colours, gaugeOfColour } from '../colours.js';
import { type Bore, drawHold } from '../draw.js';
import type { Gauge, HoldSpec } from '../hold-spec.js';
import { steadyLeak, withLeaks } from '../trial.js';
import { type Bound, type Cell, group } from './cell.js';

const good: Bound = { count: 'pass', atLeast: 0.97 };
const usual: readonly Bore[] = [40, 63, 100, 160];
const still: Partial<Gauge> = { noise: { kind: 'none' }, zeroCreepPaPerS: 0 };

interface Kind {
  readonly name: string;
  readonly gauge: (c: Chance) => Partial<Gauge>;
}

const steps = [0.5, 1, 2].flatMap((bar): readonly Kind[] => [
  { name: `quiet, ${bar} bar`, gauge: () => ({ ...still, resolutionPa: bar * 1e5 }) },
  { name: `some noise, ${bar} bar`, gauge: () => ({ resolutionPa: bar * 1e5 }) },
]);
const kinds: readonly Kind[] = [
  { name: 'quiet, 0.01 to 0.1 bar', gauge: (c) => ({ ...still, resolutionPa: c.pick([0.01e5, 0.05e5, 0.1e5]) }) },
  ...steps,
  ...colours.map((colour) => ({ name: colour, gauge: (c: Chance) => gaugeOfColour(c, colour) })),
  ...[0.2, 1, 20, 100].map((hz) => ({ name: `${hz} Hz`, gauge: () => ({ lineHz: hz, updateHz: hz }) })),
  { name: 'zero creeps by 0.1 bar', gauge: (c) => ({ zeroCreepPaPerS: (c.pick([-1, 1]) * 0.1e5) / 1000 }) },
];

const tight = (c: Chance, seed: number, gauge: Partial<Gauge>): HoldSpec =>
  drawHold(seed, { bores: usual, creep: 'none', gauge, probe: c.chance(0.5) ? 'good' : null });

/** Heat stays in the oil: the pressure stands, and a coarse display makes a clean step or none. */
function standing(c: Chance, seed: number): HoldSpec {
  const spec = tight(c, seed, { ...still, resolutionPa: c.pick([0.5e5, 1e5]) });
  return {
    ...spec,
    probe: null,
    oil: { ...spec.oil, conductivityWPerMK: 1e-9 },
    heat: { ...spec.heat, lineApart: false },
  };
}

/** Gauges of all steps, rates and colours of noise: on good cylinders, and on leakers just above the limit. */
export function gaugeCells(): Cell[] {
  const onGood = group('gauges on good cylinders');
  const onLeakers = group('gauges on leakers just above the limit');
  return [
    ...kinds.map(({ name, gauge }) => onGood(name, (c, seed) => tight(c, seed, gauge(c)), [good])),
    onGood(
      'quiet, hand pump',
      (c, seed) => {
        const spec = tight(c, seed, { ...still, resolutionPa: c.pick([0.01e5, 0.1e5, 0.5e5]) });
        const pump = { kind: 'hand', paPerS: c.octaves(2e5, 4e5), strokeS: c.between(0.8, 2), uneven: 0.3 } as const;
        return { ...spec, operator: { ...spec.operator, pump } };
      },
      [good],
    ),
    onGood('quiet, pressure stands, one digit or none', standing, [good]),
    onGood('quiet, falls by a digit or two in the dwell', (c, seed) => {
      const spec = standing(c, seed);
      return withLeaks(spec, steadyLeak(spec, c.between(0.05, 0.3)));
    }),
    ...kinds.map(({ name, gauge }) =>
      onLeakers(name, (c, seed) => {
        const spec = tight(c, seed, gauge(c));
        return withLeaks(spec, steadyLeak(spec, c.between(1.01, 1.06)));
      }),
    ),
  ];
}
