import { type Bore, bores, drawHold } from '../draw.js';
import { type Bound, type Cell, group, held, leaking } from './cell.js';

const smaller: readonly Bore[] = [40, 63, 100, 160];
const rarely: Bound = { count: 'fail', atMost: 0.01 };

const tight = (bore: Bore): readonly Bound[] =>
  smaller.includes(bore)
    ? [{ count: 'pass within 5 min', atLeast: 0.9 }, { count: 'pass within 10 min', atLeast: 0.97 }, rarely]
    : [{ count: 'pass within 10 min', atLeast: 0.85 }, rarely];
const leaky: readonly Bound[] = [
  { count: 'pass', atMost: 0 },
  { count: 'fail', atLeast: 0.85 },
];

/** Heat of compression leaves, no probe: tight cylinders pass, leaks of 2.5 x fail, in 5 to 10 min from shut-in. */
export function heatCells(): Cell[] {
  const cell = group('heat of compression, no probe');
  return [
    ...bores.flatMap((bore) => [
      cell(`tight, bore ${bore}`, (_, seed) => drawHold(seed, { bores: [bore] }), tight(bore)),
      cell(`tight, bore ${bore}, 3 min`, (_, seed) => drawHold(seed, { bores: [bore], dwellS: 180 }), tight(bore)),
    ]),
    ...bores.map((bore) =>
      cell(
        `2.5 x, bore ${bore}, let go after 10 min`,
        (_, seed) => held(leaking(seed, 2.5, { bores: [bore] }), 600),
        leaky,
      ),
    ),
    cell(
      '2.5 x, bores to 160, let go after 5 min',
      (_, seed) => held(leaking(seed, 2.5, { bores: smaller }), 300),
      leaky,
    ),
    cell('2.5 x, 3 min, let go after 5 min', (_, seed) => held(leaking(seed, 2.5, { dwellS: 180 }), 300), leaky),
  ];
}
