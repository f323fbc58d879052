import { type Bound, type Cell, group, held, leaking } from './cell.js';

/** Leaks of several times the limit: a fail by the time a dwell after shut-in is over, let go then or held on. */
export function grossCells(): Cell[] {
  const cell = group('gross leaks');
  const mustFail: Bound = { count: 'fail', atLeast: 0.97 };
  return [
    ...[3, 5, 8, 12, 20, 50].map((multiple) =>
      cell(`${multiple} x, let go a dwell after shut-in`, (_, seed) => held(leaking(seed, multiple), 300), [mustFail]),
    ),
    cell('3 to 50 x, held on', (c, seed) => leaking(seed, c.octaves(3, 50)), [mustFail]),
    cell('3 to 50 x, dwell 3 min, let go', (c, seed) => held(leaking(seed, c.octaves(3, 50), { dwellS: 180 }), 180), [
      mustFail,
    ]),
    cell('2 x with a probe, let go after 5 to 8 min', (c, seed) =>
      held(leaking(seed, 2, { probe: 'good' }), c.between(300, 480)),
    ),
  ];
}

const about = (name: string, low: number, high: number) => ({ name, low, high });
const sizes = [
  about('no leak', 0, 0),
  about('0.5 x', 0.5, 0.5),
  about('just below the limit', 0.96, 1),
  about('just above the limit', 1.01, 1.06),
  about('1.5 x', 1.5, 1.5),
];
const probes = ['good', 'lag', 'steps', 'offset', 'barrel', 'room'] as const;

/** No leak to 1.5 x, from the start on, without a probe and with probes of each kind, and where heat plays no part. */
export function limitCells(): Cell[] {
  const without = group('steady leaks, no probe');
  const withProbe = group('steady leaks, probe');
  const withoutHeat = group('steady leaks, no heat');
  return [
    ...sizes.map(({ name, low, high }) => without(name, (c, seed) => leaking(seed, c.between(low, high)))),
    without('just above the limit, dwell 3 min', (c, seed) => leaking(seed, c.between(1.01, 1.06), { dwellS: 180 })),
    ...sizes.map(({ name, low, high }) =>
      withoutHeat(
        name,
        (c, seed) => leaking(seed, c.between(low, high), { heat: 'none' }),
        name === '1.5 x' ? [{ count: 'fail', atLeast: 0.8 }] : [],
      ),
    ),
    ...[2, 3, 8].map((multiple) =>
      withoutHeat(`${multiple} x`, (_, seed) => leaking(seed, multiple, { heat: 'none' }), [
        { count: 'fail', atLeast: multiple < 3 ? 0.8 : 0.97 },
      ]),
    ),
    ...probes.flatMap((probe) =>
      sizes.map(({ name, low, high }) =>
        withProbe(
          `${probe}: ${name}`,
          (c, seed) => leaking(seed, c.between(low, high), { probe }),
          name === '1.5 x' && probe === 'good' ? [{ count: 'fail', atLeast: 0.8 }] : [],
        ),
      ),
    ),
  ];
}
