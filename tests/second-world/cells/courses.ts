import type { Chance } from '../chance.js';
import { drawHold } from '../draw.js';
import type { HoldSpec, LeakCourse } from '../hold-spec.js';
import { allowedPa, type DwellTimes, withLeaks } from '../trial.js';
import { type Bound, type Cell, groupInDwell, type Happening, type Make } from './cell.js';

/** Begins at a share of the dwell and loses so many allowed drops by the dwell's end. */
const begins =
  (kind: 'late' | 'growing', multiple: readonly [number, number], at: readonly [number, number]): Happening =>
  (spec, { startS, endS }, c) => {
    const fromS = startS + c.between(...at) * (endS - startS);
    const totalPa = c.between(...multiple) * allowedPa(spec);
    const overS = endS - fromS;
    const course: LeakCourse =
      kind === 'late'
        ? { kind, fromS, paPerS: totalPa / overS }
        : { kind, fromS, overS, totalPa, power: c.pick([1, 2]) };
    return withLeaks(spec, { law: c.pick(['orifice', 'gap', 'constant']), course });
  };

/** Stick-slip: so many allowed drops in 4 to 15 bursts. */
const bursts =
  (multiple: number): Happening =>
  (spec, { startS, endS }, c) => {
    const count = Math.round(c.between(4, 15));
    const atS = Array.from({ length: count }, () => c.between(startS + 2, endS - 5)).sort((a, b) => a - b);
    const eachPa = (multiple * allowedPa(spec)) / count;
    return withLeaks(spec, { law: 'constant', course: { kind: 'bursts', atS, eachPa, lastsS: c.between(0.2, 1) } });
  };

/** Leaks from the ramp on and stops at a share of the dwell. */
const stops =
  (low: number, high: number): Happening =>
  (spec: HoldSpec, { startS, endS }: DwellTimes, c: Chance) => {
    const untilS = startS + c.between(0.2, 0.8) * (endS - startS);
    const paPerS = (c.between(low, high) * allowedPa(spec)) / (untilS - startS);
    return withLeaks(spec, { law: 'constant', course: { kind: 'stopping', untilS, paPerS } });
  };

const benches: readonly { readonly name: string; readonly make: Make }[] = [
  { name: 'probe', make: (_, seed) => drawHold(seed, { probe: 'good' }) },
  { name: 'no probe', make: (_, seed) => drawHold(seed) },
  { name: 'probe, 3 min', make: (_, seed) => drawHold(seed, { dwellS: 180, probe: 'good' }) },
  { name: 'no probe, 3 min', make: (_, seed) => drawHold(seed, { dwellS: 180 }) },
];

const kinds: readonly { readonly name: string; readonly happens: Happening; readonly bounds?: readonly Bound[] }[] = [
  { name: 'late at 20 to 80 %, just above', happens: begins('late', [1.02, 1.1], [0.2, 0.8]) },
  { name: 'late at 20 to 80 %, 1.5 x', happens: begins('late', [1.5, 1.5], [0.2, 0.8]) },
  { name: 'late at 93 to 97 %, 1.1 to 2 x', happens: begins('late', [1.1, 2], [0.93, 0.97]) },
  { name: 'growing from 0 to 60 %, just above', happens: begins('growing', [1.02, 1.1], [0, 0.6]) },
  { name: 'growing from 0 to 60 %, 0.5 x', happens: begins('growing', [0.5, 0.5], [0, 0.6]) },
  { name: 'stops at 20 to 80 %, 0.5 to 0.95 x', happens: stops(0.5, 0.95) },
  { name: 'stops at 20 to 80 %, just above', happens: stops(1.02, 1.1) },
  { name: 'bursts, 0.5 x', happens: bursts(0.5) },
  { name: 'bursts, 1.05 x', happens: bursts(1.05) },
  { name: 'bursts, 3 x', happens: bursts(3), bounds: [{ count: 'fail', atLeast: 0.97 }] },
];

/** Leaks whose rate changes while the dwell runs. */
export function courseCells(): Cell[] {
  return kinds.flatMap(({ name, happens, bounds }) =>
    benches.map((bench) =>
      groupInDwell('leaks that change in the dwell')(`${name}, ${bench.name}`, bench.make, happens, bounds),
    ),
  );
}
