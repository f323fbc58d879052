import { describe, expect, it } from 'vitest';
import type { Reading } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { type ShutInWatch, watchFrom, watchShutIn } from '../../src/holdtest/shut-in.js';
import { pressurePa } from '../../src/units/index.js';
import { chance } from '../procedure/seeded.js';
import { codes, dwells, outcomes, run } from './run-hold.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from './sample-trace.js';

const setting = { targetPa: 240e5, resolutionPa: 1e3 };

/** The watch after pressures in bar, one reading every `everyS`. */
function watched(bars: readonly number[], everyS = 0.1, { targetPa, resolutionPa } = setting): ShutInWatch {
  const [first = 0, ...others] = bars;
  return others.reduce(
    (watch, bar, i) =>
      watchShutIn(watch, Math.round((i + 1) * everyS * 1e6), Math.round(bar * 1e5), { targetPa, resolutionPa }),
    watchFrom(0, Math.round(first * 1e5)),
  );
}

/** `count` pressures in bar from what each place of a hold shows. */
const course = (count: number, barAt: (i: number) => number): number[] =>
  Array.from({ length: count }, (_, i) => barAt(i));

/** Up to 242 bar by half a bar a reading. */
const ramp = course(15, (i) => 235 + 0.5 * i);
const lastRiseUs = 1.4e6;
const level = (bar: number, s: number): number[] => course(s * 10, () => bar);

describe('let back, with a leak that goes on', () => {
  it.each([0.05, 0.15, 0.35, 0.6])(
    'of %f bar/s: the hold begins at the level just after the valve was shut',
    (leak) => {
      const back = course(20, (i) => 242 + 7 - 0.35 * i);
      const falls = course(400, (i) => 242 - 0.1 * leak * i);
      const { startPa, sinceUs } = watched([...ramp, ...course(14, (i) => 242.5 + 0.5 * i), ...back, ...falls]);
      const letBackS = (ramp.length + 14 + 20) / 10;
      expect((startPa ?? 0) / 1e5).toBeGreaterThan(242 - 6 * leak - 0.5);
      expect((startPa ?? 0) / 1e5).toBeLessThan(242.5);
      expect(sinceUs / 1e6 - letBackS).toBeLessThan(12);
    },
  );
});

describe('the last rise', () => {
  it.each([0.1, 1, 10])('is found to one reading, at one in %f s', (everyS) =>
    expect(watched([...course(15, (i) => 235 + 0.5 * i), ...course(60, () => 242)], everyS).sinceUs).toBeCloseTo(
      14e6 * everyS,
      3,
    ),
  );

  it.each([0.2, 0.5, 1, 2, 5].flatMap((barPerS) => [10, 50].map((hz) => ({ barPerS, hz }))))(
    'takes no more than a two-thousandth of the target of a rise of $barPerS bar/s into the hold, at $hz Hz',
    ({ barPerS, hz }) => {
      // Ends at every place of a three-second mean.
      for (let endS = 7 / barPerS; endS < 7 / barPerS + 3; endS += 0.23) {
        const top = 235 + barPerS * endS;
        const at = (i: number): number => Math.min(top, 235 + (barPerS * i) / hz) - 0.002 * Math.max(0, i / hz - endS);
        const { sinceUs } = watched(course((endS + 40) * hz, at), 1 / hz);
        expect(barPerS * (endS - sinceUs / 1e6), `ends after ${endS} s`).toBeLessThan(0.121);
        expect(sinceUs / 1e6 - endS, `ends after ${endS} s`).toBeLessThan(1 / hz);
      }
    },
  );

  it('is the last of several, and what it rose to is where the hold starts', () => {
    const watch = watched([...ramp, ...level(241.9, 12), 242.6, ...level(242.9, 20)]);
    expect(watch.sinceUs).toBe(13.6e6);
    expect(watch.startPa).toBeCloseTo(242.9e5, -2);
  });

  it('is not moved by a fall, however fast', () =>
    expect(watched([...ramp, ...course(600, (i) => 242 - 0.05 * i)]).sinceUs).toBe(lastRiseUs));

  it('is a top-up back to no more than the level before', () =>
    expect(watched([...ramp, ...course(200, (i) => 242 - 0.02 * i), ...level(242, 20)]).sinceUs).toBeGreaterThan(
      21.4e6,
    ));

  it('follows a slow creep up, as of a valve that lets supply pressure past', () => {
    const creep = watched([...ramp, ...course(1200, (i) => 242 + 0.005 * i)]);
    expect(creep.sinceUs).toBeGreaterThan(118e6);
    expect(creep.pumpedUs).toBeLessThanOrEqual(lastRiseUs);
  });

  it('is not moved by one step of a coarse display', () => {
    const coarse = { targetPa: 240e5, resolutionPa: 1e5 };
    const bars = [...course(4, (i) => 236 + 2 * i), ...course(600, (i) => (i % 40 < 20 ? 242 : 241))];
    expect(watched(bars, 0.1, coarse).sinceUs).toBe(0.3e6);
    expect(watched([...bars, ...level(244, 5)], 0.1, coarse).sinceUs).toBe(60.4e6);
  });

  it('stays within a mean of three seconds under noise of a five-thousandth of the target, in nineteen holds of twenty', () => {
    const seed = Date.now() % 1_000_000;
    const random = chance(seed);
    const holds = 200;
    let moved = 0;
    for (let n = 0; n < holds; n++) {
      const sigma = random.between(0.01, 0.05);
      const noisy = [...ramp, ...level(242, 60)].map((bar) => bar + sigma * random.normal());
      if (watched(noisy).sinceUs > lastRiseUs + 3.2e6) moved++;
    }
    expect(moved, `seed ${seed}`).toBeLessThanOrEqual(holds / 20);
  });

  it("is not moved by a gauge's slow wander within a two-thousandth of the target", () =>
    expect(watched([...ramp, ...course(1200, (i) => 242 + 0.05 * Math.sin(i / 60))]).sinceUs).toBe(lastRiseUs));
});

describe('a dwell that counts from the last rise', () => {
  const lastRiseS = 52.9;
  const up: readonly Leg[] = [
    { s: 5, toBar: 0 },
    { s: 48, toBar: 242 },
  ];
  const held = (bar: number, s: number): Leg => ({ s, toBar: bar });
  const ofLegs = (...legs: readonly Leg[]) => run(samplePlan(), asInputs(drawTrace([...up, ...legs])));

  it('is entered once nothing has risen for the settling time, and ends its demanded time after the rise', () =>
    expect(dwells(run(samplePlan(), asInputs(drawTrace(plainHold(0.1)))))).toEqual([
      { beganS: 53.3, enteredS: expect.closeTo(83.3, 6), endS: 173.3 },
    ]));

  it('starts at the level after the rise, not at the one that it was entered at', () => {
    const inputs = asInputs(drawTrace([...up, held(236, 60)])).slice(0, -1);
    const began = run(samplePlan(), inputs).state.phase;
    expect(began).toMatchObject({ name: 'dwell', startUs: lastRiseS * 1e6 });
    expect(began.name === 'dwell' && began.startPa / 1e5).toBeCloseTo(241.85, 1);
  });

  it('counts from a top-up while settling', () => {
    for (const afterS of [1, 10, 20, 29]) {
      const ran = ofLegs(held(241.5, afterS), held(243, 0.5), held(242.9, 200));
      expect(codes(ran)).not.toContain('topped-up');
      expect(dwells(ran)[0]?.beganS).toBeCloseTo(53 + afterS + 0.4, 6);
      expect(dwells(ran)[0]?.enteredS).toBeCloseTo(83 + afterS + 0.4, 6);
    }
  });

  it('counts from the last top-up of a hand pump, each back to where it was', () => {
    const strokes = Array.from({ length: 3 }, () => [held(240, 15), held(242, 0.3)]).flat();
    const ran = ofLegs(...strokes, held(241.9, 200));
    // Back to the level before and no higher it is seen by a mean: up to three seconds late.
    expect(dwells(ran)[0]?.beganS).toBeGreaterThanOrEqual(53 + 3 * 15.3 - 0.2);
    expect(dwells(ran)[0]?.beganS).toBeLessThan(53 + 3 * 15.3 + 3.2);
  });

  it('counts from a late top-up too, of a pressure that stood below the band', () => {
    const low = [held(0, 5), held(235.1, 47), held(234, 0.3), held(233.8, 60), held(241, 1.5), held(240.9, 200)];
    expect(dwells(run(samplePlan(), asInputs(drawTrace(low))))[0]?.beganS).toBeCloseTo(113.7, 6);
  });

  it('does not begin while the pressure creeps up, and says so', () => {
    const ran = ofLegs(held(249, 650));
    expect(dwells(ran)).toEqual([]);
    expect(outcomes(ran)[0]).toMatchObject({
      kind: 'no dwell',
      reason: expect.stringMatching(/still rising .* lets supply pressure past/),
    });
  });

  it('does not begin in the past below the band', () => {
    const ran = run(
      samplePlan(),
      asInputs(drawTrace([...up.slice(0, 1), held(235.2, 47), held(234.9, 1), held(232, 500)])),
    );
    expect(dwells(ran)).toEqual([]);
  });

  it('tells the world of every last rise, and none later than the dwell', () => {
    const ran = ofLegs(held(241.5, 20), held(242.5, 0.5), held(242.4, 200));
    const told = ran.effects.flatMap((effect) => (effect.kind === 'shut-in' ? [effect.timeUs / 1e6] : []));
    expect(told.at(-1)).toBe(73.4);
    expect(told).toContain(lastRiseS);
    expect(told).toEqual([...told].sort((a, b) => a - b));
  });

  it('never reaches back over a gap in the readings', () => {
    const gone = ({ timeUs }: Reading) => timeUs > 58e6 && timeUs < 78e6;
    const readings = drawTrace([...up, held(241.5, 200)]).filter((reading) => !gone(reading));
    const ran = run(samplePlan(), asInputs(readings));
    expect(dwells(ran)[0]?.beganS).toBe(78);
    expect(codes(ran)).not.toContain('data-gap');
  });

  it('never reaches back over a fault of the gauge that would have voided it', () => {
    const fault = (effect: 'void' | 'warn'): HoldInput => ({
      kind: 'fault',
      fault: { timeUs: 60.05e6, code: 'zero-shift', text: 'The gauge was zeroed.', effect },
    });
    const inputs = asInputs(drawTrace([...up, held(241.5, 200)]));
    const at = inputs.findIndex((input) => input.kind === 'reading' && input.reading.timeUs > 60.05e6);
    const withFault = (effect: 'void' | 'warn') => run(samplePlan(), inputs.toSpliced(at, 0, fault(effect)));
    expect(dwells(withFault('void'))[0]?.beganS).toBe(60.1);
    expect(dwells(withFault('warn'))[0]?.beganS).toBe(lastRiseS);
  });
});

describe('a stage that judges the plain drop', () => {
  const plan = samplePlan({ ports: [samplePort({ stages: [sampleStage({ judge: 'plain drop' })] })] });

  it('begins its dwell, from now on, only after the rate has stayed small for its whole time', () => {
    const [dwell] = dwells(run(plan, asInputs(drawTrace(plainHold(0.1)))));
    expect(dwell?.beganS).toBe(dwell?.enteredS);
    expect((dwell?.beganS ?? 0) - 53.3).toBeGreaterThan(26.9);
    expect((dwell?.beganS ?? 0) - 53.3).toBeLessThan(40);
  });

  it.each([1.2, 2, 4, 7])('never takes the ramp into the time it has settled: a pause, and %d bar more', (more) => {
    const legs: Leg[] = [
      { s: 5, toBar: 0 },
      { s: 47, toBar: 242 - more },
      { s: 20, toBar: 242 - more },
      { s: more / 5, toBar: 242 },
      { s: 200, toBar: 241.8 },
    ];
    const [dwell] = dwells(run(plan, asInputs(drawTrace(legs))));
    expect((dwell?.beganS ?? 0) - (72 + more / 5)).toBeGreaterThan(26.5);
  });
});

describe('the watch', () => {
  it('is plain JSON at every reading', () => {
    let straight = watchFrom(0, pressurePa(235e5));
    let stored = straight;
    for (const [i, bar] of [...ramp, ...level(242, 30)].entries()) {
      straight = watchShutIn(straight, (i + 1) * 1e5, bar * 1e5, setting);
      stored = watchShutIn(JSON.parse(JSON.stringify(stored)) as ShutInWatch, (i + 1) * 1e5, bar * 1e5, setting);
    }
    expect(stored).toEqual(straight);
  });
});
