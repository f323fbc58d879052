import { Chance } from '../chance.js';
import { drawHold, type Fixed } from '../draw.js';
import type { HoldSpec } from '../hold-spec.js';
import { type DwellTimes, steadyLeak, type Trial, tryHold, tryInDwell, withLeaks } from '../trial.js';

/** What is counted of a cell's holds. */
export type Count =
  | 'pass'
  | 'fail'
  | 'pass at a loss of the limit or more'
  | 'fail at a loss of the limit or less'
  | 'pass within 5 min'
  | 'pass within 10 min'
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

const verdicts: readonly Bound[] = [
  { count: 'pass at a loss of the limit or more', atMost: 0.025 },
  { count: 'fail at a loss of the limit or less', atMost: 0.025 },
  { count: 'not finite', atMost: 0 },
];
/** Asked of every cell in which the gauge sees the cylinder and nobody feeds it. */
const always: readonly Bound[] = [...verdicts, { count: 'covered', atLeast: 0.92, atMost: 0.98 }];

export type Make = (chance: Chance, seed: number) => HoldSpec;
export type Happening = (spec: HoldSpec, dwell: DwellTimes, chance: Chance) => HoldSpec;

/** Makes cells of a group: a hold each, judged against the bounds given and those asked of every cell. */
export const group =
  (groupName: string) =>
  (name: string, make: Make, bounds: readonly Bound[] = []): Cell => ({
    group: groupName,
    name,
    bounds: [...bounds, ...always],
    run: (seed) => tryHold(make(Chance.of(seed, 'cell'), seed)),
  });

/** The same where something happens in the dwell, whenever the program lets it run. */
export const groupInDwell =
  (groupName: string, asked: 'with coverage' | 'verdicts only' = 'with coverage') =>
  (name: string, make: Make, happens: Happening, bounds: readonly Bound[] = []): Cell => ({
    group: groupName,
    name,
    bounds: [...bounds, ...(asked === 'with coverage' ? always : verdicts)],
    run: (seed) =>
      tryInDwell(make(Chance.of(seed, 'cell'), seed), (spec, dwell) =>
        happens(spec, dwell, Chance.of(seed, 'in the dwell')),
      ),
  });

/** A drawn hold that leaks so many allowed drops in a dwell, from the start on. */
export function leaking(seed: number, multiple: number, fixed: Fixed = {}): HoldSpec {
  const spec = drawHold(seed, fixed);
  return multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
}

/** Let go so long after the end of the ramp. */
export const held = (spec: HoldSpec, heldS: number): HoldSpec => ({
  ...spec,
  operator: { ...spec.operator, heldS },
});
