import { Chance } from '../chance.js';
import { drawHold } from '../draw.js';
import type { Feed, HoldSpec } from '../hold-spec.js';
import { allowedPa, steadyLeak, withLeaks } from '../trial.js';
import { type Bound, type Cell, group, groupInDwell, type Happening, leaking, type Make } from './cell.js';

const never: Bound = { count: 'fed and passed', atMost: 0 };

/** What is fed, in allowed drops: more than a quarter. */
const fedOf = (seed: number): number => Chance.of(seed, 'how much is fed').octaves(0.3, 3);

const feeding = (spec: HoldSpec, feed: Feed): HoldSpec => ({
  ...spec,
  operator: { ...spec.operator, feeds: [feed] },
});

const steadily =
  (overS: number): Happening =>
  (spec, { startS, endS }, c) => {
    const fromS = c.between(startS + 5, Math.max(startS + 6, endS - overS - 5));
    return feeding(spec, { kind: 'steady', fromS, overS, totalPa: fedOf(spec.seed) * allowedPa(spec) });
  };

/** Strokes of 0.1 to 0.5 bar from the dwell's beginning to its end. */
const stroked: Happening = (spec, { startS, endS }, c) => {
  const total = fedOf(spec.seed) * allowedPa(spec);
  const count = Math.max(2, Math.round(total / c.octaves(0.1e5, 0.5e5)));
  const everyS = (endS - startS - 10) / count;
  const atS = Array.from({ length: count }, (_, i) => startS + 5 + everyS * (i + 0.2 * c.next()));
  return feeding(spec, { kind: 'strokes', atS, eachPa: total / count, lastsS: Math.min(0.5, everyS / 2) });
};

/** A leak that the feed hides, in part or whole, or a tight cylinder that needed none. */
const hidden =
  (hz: number, settleBarPerMin?: number): Make =>
  (c, seed) => {
    const spec = drawHold(seed, { gauge: { lineHz: hz, updateHz: hz }, probe: c.chance(0.3) ? 'good' : null });
    const multiple = c.pick([0, fedOf(seed), fedOf(seed) + 0.5]);
    const leaky = multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
    return settleBarPerMin === undefined ? leaky : { ...leaky, test: { ...leaky.test, settleBarPerMin } };
  };

/** Oil fed into the dwell by hand, at each rate of readings. */
export function feedCells(): Cell[] {
  const cell = groupInDwell('oil fed in the dwell', 'verdicts only');
  return [
    ...[1, 2, 10].flatMap((hz) => [
      ...[2, 20, 60, 200].map((overS) => cell(`over ${overS} s, ${hz} Hz`, hidden(hz), steadily(overS), [never])),
      cell(`strokes of 0.1 to 0.5 bar, ${hz} Hz`, hidden(hz), stroked, [never]),
    ]),
    cell('over 60 s, 2 Hz, settling limit edited to 15 bar/min', hidden(2, 15), steadily(60), [never]),
    cell('strokes, 2 Hz, settling limit edited to 15 bar/min', hidden(2, 15), stroked, [never]),
  ];
}

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

/** Topped up once between 10 s and 400 s after the ramp: no dwell with the top-up in it may pass. */
export function topUpCells(): Cell[] {
  const cell = group('topped up after the ramp');
  return [
    cell('tight', (c, seed) => toppedUp(c, seed, 0), [never]),
    cell('just above the limit', (c, seed) => toppedUp(c, seed, 1.05), [never]),
    cell('1.5 x', (c, seed) => toppedUp(c, seed, 1.5), [never]),
  ];
}

/** What one gauge can't see, or hardly: the result must say so, which no count here can tell. */
export function hiddenCells(): Cell[] {
  const cell = groupInDwell('what one gauge hardly sees', 'verdicts only');
  return [
    cell(
      'valve shut at 5 to 60 % of the dwell, 2 x',
      (_, seed) => leaking(seed, 2),
      (spec, { startS, endS }, c) => ({
        ...spec,
        operator: { ...spec.operator, valveShutAtS: startS + c.between(0.05, 0.6) * (endS - startS) },
      }),
    ),
    {
      group: 'what one gauge hardly sees',
      name: 'fed as much as leaks, all along: no bound',
      bounds: [{ count: 'not finite', atMost: 0 }],
      run: cell(
        '',
        (_, seed) => leaking(seed, 2),
        (spec, { shutInS, endS }) =>
          feeding(spec, {
            kind: 'steady',
            fromS: shutInS + 1,
            overS: endS + 60 - shutInS,
            totalPa: (2 * allowedPa(spec) * (endS + 60 - shutInS)) / spec.test.dwellS,
          }),
      ).run,
    },
  ];
}
