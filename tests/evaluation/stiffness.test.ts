import { describe, expect, it } from 'vitest';
import { airInRise, riseSections } from '../../src/evaluation/stiffness/air-in-rise.js';
import { checkStiffness, expectedRise, type SeenAttempt } from '../../src/evaluation/stiffness/check-stiffness.js';
import { OppositeWatch } from '../../src/evaluation/stiffness/opposite-port.js';
import { RiseWatch } from '../../src/evaluation/stiffness/rise-watch.js';
import { type AttemptFacts, freshFacts } from '../../src/holdtest/state.js';
import { atmospherePa } from '../../src/hydraulics/index.js';
import type { PortPlan } from '../../src/procedure/index.js';
import { samplePort } from '../holdtest/sample-plan.js';
import { type OnBench, stiffnessRun } from './stiffness-ensemble.js';

const bar = 1e5;
const resolutionPa = 0.1 * bar;
const unseen: SeenAttempt = { rise: { points: [], ventedUntilS: null, intervalS: 0 }, opposite: null, resolutionPa };

/** 100/56 x 500: 62.8 mL to 240 bar; 400 mL of hose with it: 9 mL. */
const port = samplePort({
  stiffness: { oilM3: 62.8e-6, oilUM3: 5e-6, line: { oilM3: 9e-6, oilUM3: 0.5e-6 } },
});

const facts = (over: Partial<AttemptFacts>): AttemptFacts => ({ ...freshFacts, peakPa: 240 * bar, ...over });

/** A rise at constant flow: `airShare` of free air in the sample cylinder, in closed form, ten readings a second. */
function rise(options: { readonly airShare?: number; readonly pauseAtBar?: number; readonly zeroBar?: number } = {}) {
  const watch = new RiseWatch(resolutionPa);
  const { volumeM3, bulkModulusPa } = samplePort().trapped;
  const flow = 7 * bar * (volumeM3 / bulkModulusPa);
  const timeAt = (pa: number) =>
    ((volumeM3 / bulkModulusPa) * pa + ((options.airShare ?? 0) * volumeM3 * pa) / (pa + atmospherePa)) / flow;
  const zeroPa = (options.zeroBar ?? 0) * bar;
  let [s, pa, pausedS] = [0, 0, 0];
  for (; pa < 240 * bar; s += 0.1) {
    const rising = s - 5 - pausedS;
    while (rising > 0 && timeAt(pa + 0.01 * bar) <= rising) pa += 0.01 * bar;
    if (options.pauseAtBar !== undefined && pausedS < 15 && pa >= options.pauseAtBar * bar) pausedS += 0.1;
    watch.add(s * 1e6, pa + zeroPa, zeroPa);
  }
  return watch.seen();
}

describe('what a rise takes', () => {
  it.each<[string, number, string, PortPlan]>([
    ['62 mL is the cylinder', 62, 'agrees cylinder', port],
    ['55 mL is the cylinder pumped quickly: its heat is still in it', 55, 'agrees cylinder', port],
    ['9 mL is the hose alone', 9, 'too-stiff line alone', port],
    ['2 mL is less than the hose', 2, 'too-stiff less than the line', port],
    ['30 mL is another volume', 30, 'too-stiff smaller volume', port],
    ['9 mL is too little also when the hose is not known', 9, 'too-stiff line alone', samplePort()],
    ['95 mL is too much', 95, 'too-soft more oil', port],
  ])('%s', (_, millilitres, outcome, held) => {
    const { verdict, finding } = checkStiffness(held, unseen, facts({ oilPumpedM3: millilitres * 1e-6 }));
    expect(`${verdict} ${finding}`).toBe(outcome);
  });

  it('names the hose, the valve and the figures', () => {
    const { text } = checkStiffness(port, unseen, facts({ oilPumpedM3: 9e-6 }));
    expect(text).toContain('the valve at the cylinder is shut, or no cylinder is on the hose');
    expect(text).toContain('{volume:');
  });

  it('a line that takes nearly as much as the cylinder can not be told from it', () => {
    const small = samplePort({
      stiffness: { oilM3: 10e-6, oilUM3: 1e-6, line: { oilM3: 8e-6, oilUM3: 0.5e-6 } },
    });
    const { verdict, text } = checkStiffness(small, unseen, facts({ oilPumpedM3: 8e-6 }));
    expect(verdict).toBe('not-checked');
    expect(text).toContain('too close to tell');
  });

  it('pumped quickly, 1.5 GPa at 10.5 bar/K takes 13 % less than slowly', () => {
    const expected = expectedRise(port);
    expect((expected?.quickM3PerPa ?? 0) / (expected?.slowM3PerPa ?? 1)).toBeCloseTo(0.87, 2);
  });

  it("a booster's strokes after a pause are read for the end of the rise where the pump's flow is stated", () => {
    const boosted = samplePort({ stiffness: { ...port.stiffness, strokeM3: 1e-6, flowM3PerS: 1e-6 } });
    const seen = { ...unseen, rise: rise({ pauseAtBar: 160 }) };
    const strokes = checkStiffness(boosted, seen, facts({ strokes: 20 }));
    expect(strokes.verdict).toBe('agrees');
    expect(strokes.oilKnownBy).toBe('strokes');
    expect(checkStiffness(boosted, seen, facts({ strokes: 3 })).verdict).toBe('too-stiff');
  });
});

describe('a power pack that works on its relief valve', () => {
  // 62.8 mL to 240 bar at 7 bar/s takes 1.83 mL/s; the pump delivers 33 mL/s, and the rest goes over the valve.
  const pumped = (flowM3PerS: number, flowAtMost?: true) =>
    samplePort({ stiffness: { ...port.stiffness, flowM3PerS, ...(flowAtMost ? { flowAtMost } : {}) } });
  const seen = { ...unseen, rise: rise() };

  it('makes no tight cylinder inconclusive, planned so or not', () => {
    for (const held of [pumped(33e-6, true), pumped(33e-6), pumped(4e-6)]) {
      const { verdict, finding, text } = checkStiffness(held, seen, facts({}));
      expect([verdict, finding]).toEqual(['not-checked', 'not known']);
      expect(text).toContain('may leave over its relief valve');
    }
  });

  it('never proves the cylinder by a flow that is too quick, and a flow that fits still does', () => {
    expect(checkStiffness(pumped(1.8e-6, true), seen, facts({})).verdict).toBe('not-checked');
    expect(checkStiffness(pumped(1.8e-6), seen, facts({})).verdict).toBe('agrees');
  });

  it('still shows a shut valve: even all of its flow is too little', () =>
    expect(checkStiffness(pumped(0.25e-6, true), seen, facts({})).verdict).toBe('too-stiff'));

  it('air still shows in the bow of the rise', () => {
    const aired = { ...unseen, rise: rise({ airShare: 0.01 }) };
    expect(checkStiffness(pumped(33e-6, true), aired, facts({})).finding).toBe('free air');
  });
});

describe('the bow of a rise', () => {
  const airOf = (seen: ReturnType<typeof rise>): number => {
    const [section] = riseSections(seen);
    const { volumeM3, bulkModulusPa } = samplePort().trapped;
    const bow = section ? airInRise(section, 3e3, 0) : null;
    return ((bow?.airOverGivePa ?? Number.NaN) * (volumeM3 / bulkModulusPa)) / volumeM3;
  };

  it.each([0, 0.002, 0.005, 0.01])('gives %s of free air back within 0.0002', (airShare) =>
    expect(Math.abs(airOf(rise({ airShare })) - airShare)).toBeLessThan(2e-4),
  );

  it('counts from the vented zero, wherever the gauge puts it', () =>
    expect(airOf(rise({ airShare: 0.005, zeroBar: 0.8 }))).toBeCloseTo(airOf(rise({ airShare: 0.005 })), 4));

  it('is cut at the change from pump to booster', () => {
    const sections = riseSections(rise({ airShare: 0.005, pauseAtBar: 160 })).filter(({ length }) => length > 5);
    expect(sections).toHaveLength(2);
    expect((sections[0]?.at(-1)?.pa ?? 0) / bar).toBeGreaterThan(155);
    expect((sections[1]?.[0]?.pa ?? 0) / bar).toBeGreaterThan(159);
  });

  it('air makes no cut', () => {
    const [section] = riseSections(rise({ airShare: 0.01 }));
    expect((section?.at(-1)?.pa ?? 0) / bar).toBeGreaterThan(235);
  });

  it('alone it makes a hold inconclusive, and a straight rise says how much it would have shown', () => {
    const bowed = checkStiffness(port, { ...unseen, rise: rise({ airShare: 0.005 }) }, facts({}));
    expect([bowed.verdict, bowed.finding]).toEqual(['too-soft', 'free air']);
    const straight = checkStiffness(port, { ...unseen, rise: rise() }, facts({}));
    expect(straight.verdict).toBe('not-checked');
    expect(straight.airDetectable).toBeGreaterThan(0.002);
    expect(straight.airDetectable).toBeLessThan(0.005);
  });

  it('is forgiven as far as the job admits the air', () => {
    const admits = samplePort({ stiffness: { ...port.stiffness, oilM3: 102e-6, airFraction: 0.01 } });
    expect(checkStiffness(admits, { ...unseen, rise: rise({ airShare: 0.01 }) }, facts({})).verdict).toBe(
      'not-checked',
    );
  });

  it('is no air where the gauge follows late, and as much air is found where it does not', () => {
    const late = (lagS: number, airShare: number): string => {
      const { points } = rise({ airShare });
      const watch = new RiseWatch(resolutionPa);
      let read = 0;
      const last = points.at(-1) ?? { s: 0, pa: 0 };
      for (let s = 0; s < last.s + 60; s += 0.1) {
        const next = points.findIndex((point) => point.s > s);
        const [from, to] = [points[next - 1] ?? { s: 5, pa: 0 }, next < 0 ? last : points[next]];
        const pa =
          !to || s < from.s ? from.pa : from.pa + (to.pa - from.pa) * Math.min(1, (s - from.s) / (to.s - from.s || 1));
        read = lagS === 0 ? pa : read + (pa - read) * (1 - Math.exp(-0.1 / lagS));
        watch.add(s * 1e6, read, 0);
      }
      return checkStiffness(port, { ...unseen, rise: watch.seen() }, facts({})).finding ?? '';
    };
    expect([late(3, 0), late(8, 0), late(15, 0)]).toEqual(['not known', 'not known', 'not known']);
    expect(late(0, 0.01)).toBe('free air');
  });

  it('pressure let go before the hold starts the memory afresh', () => {
    const watch = new RiseWatch(resolutionPa);
    for (let s = 0; s < 60; s++) watch.add(s * 1e6, s < 20 ? s * bar : s < 30 ? 0 : (s - 29) * bar, 0);
    const { points } = watch.seen();
    expect(points[0]?.s).toBeGreaterThan(29);
    expect(points.length).toBeGreaterThan(20);
  });

  it('one wild reading makes no point', () => {
    const watch = new RiseWatch(resolutionPa);
    for (let s = 0; s < 60; s++) watch.add(s * 1e6, s === 30 ? 390 * bar : s * bar, 0);
    expect(Math.max(...watch.seen().points.map(({ pa }) => pa)) / bar).toBeLessThan(60);
  });
});

describe('the piston seal behind a port that is not open', () => {
  const seenAt = (fromBar: number, toBar: number): SeenAttempt => {
    const watch = new OppositeWatch();
    for (let i = 0; i < 100; i++) watch.add(240 * bar - i * 100, (fromBar + ((toBar - fromBar) * i) / 99) * bar);
    return { ...unseen, opposite: watch.seen() };
  };
  const gauged = samplePort({ ...port, opposite: 'gauge' });
  const oil = facts({ oilPumpedM3: 62e-6 });

  it('blocked: can not be seen, and the result says so without alarm', () => {
    const { verdict, pistonSeal, text } = checkStiffness(samplePort({ ...port, opposite: 'blocked' }), unseen, oil);
    expect(verdict).toBe('agrees');
    expect(pistonSeal?.seen).toBe('cannot be seen');
    expect(text).toContain('says nothing of the piston seal');
  });

  it.each([
    ['both at 240 bar', 239, 239, 'joined', 'too-soft'],
    ['one rising towards the other', 10, 40, 'joined', 'too-soft'],
    ['warm oil in the other chamber that cools', 30, 25, 'apart', 'agrees'],
    ['nothing there', 0, 0, 'apart', 'agrees'],
  ])('on a gauge: %s', (_, fromBar, toBar, seal, verdict) => {
    const result = checkStiffness(gauged, seenAt(fromBar, toBar), oil);
    expect([result.pistonSeal?.seen, result.verdict]).toEqual([seal, verdict]);
  });

  it('an open port needs no word', () => expect(checkStiffness(port, unseen, oil).pistonSeal).toBeNull());
});

describe('cylinders drawn by chance on the simulated bench', () => {
  it.each<[OnBench, string]>([
    ['good', 'agrees cylinder'],
    ['shut valve at the cylinder', 'too-stiff line alone'],
    ['no cylinder', 'too-stiff line alone'],
    ['shut valve at the bench', 'too-stiff'],
    ['0.5 % air', 'too-soft free air'],
    ['1 % air', 'too-soft free air'],
    ['seal removed, gauge', 'too-soft past the piston'],
  ])('%s: %s, with the flow known', async (onBench, outcome) => {
    const { stiffness, verdict } = (await stiffnessRun(onBench, 1)).judged('flow');
    // How much less than the hose went in is not always seen: so small a volume is up within a few readings.
    expect(`${stiffness.verdict} ${stiffness.finding}`).toContain(outcome);
    if (stiffness.verdict !== 'agrees') expect(verdict).not.toBe('pass');
  });
});
