import { afterEach, describe, expect, it } from 'vitest';
import { notLookedAt } from '../../../src/certificate/index.js';
import type { KeyMap } from '../../../src/cli/screen/key-words.js';
import { soundStrokes } from '../../../src/cli/screen/sounds.js';
import { pressurePa } from '../../../src/gauge/index.js';
import { leakPoints } from '../../../src/holdtest/index.js';
import type { TestPlan } from '../../../src/procedure/index.js';
import { quickPlan } from '../../bench-live/quick-plan.js';
import { AtTheKeys } from './at-the-keys.js';

const quick = quickPlan('attended');
const portA: TestPlan = { ...quick, ports: quick.ports.slice(0, 1) };
/** With a low-pressure band that must not be overshot. */
const low: TestPlan = {
  ...portA,
  ports: portA.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({ ...stage, voidAbovePa: pressurePa(68e5) })),
    overpressurePa: pressurePa(80e5),
  })),
};

let bench: AtTheKeys;
const begin = (plan: TestPlan, more?: KeyMap): AtTheKeys => {
  bench = new AtTheKeys(plan, more);
  return bench;
};

afterEach(() => bench.leave());

describe('by keys alone, at the bench', () => {
  it('every leak point is ticked with how much, and what was seen stands in the result', async () => {
    const at = begin(portA);
    await at.toDwell();
    leakPoints.forEach((point, index) => {
      at.keys('o');
      expect(at.screen).toContain(point);
      // Two figures are taken at once; one that could still become two waits for Enter.
      at.keys(index === 0 ? '1\n' : String(index + 1));
      expect(at.screen).toContain(`How much at the ${point}?`);
      at.keys('2');
    });
    at.keys('o2437\n');
    at.keys('iy');
    await at.holds(61, 11);
    await at.holds(0, 5);
    expect(at.state.phase.name).toBe('done');
    const [port] = at.result.ports;
    expect(port?.observations).toEqual([
      ...leakPoints.map((point) => ({ point, amount: 'film' })),
      { point: 'gland O-ring', amount: 'drops', drops: 37 },
    ]);
    expect(port?.verdict).toBe('fail');
  });

  it('oil caught at the open port becomes a leak rate of its own', async () => {
    const at = begin(portA);
    await at.toDwell();
    at.keys('c');
    expect(at.screen).toContain('Let decompression oil stop first.');
    at.keys('1,2\n');
    expect(at.screen).toContain('In how long?');
    at.keys('2\niy');
    await at.holds(61, 11);
    await at.holds(0, 5);
    expect(at.result.ports[0]?.collected).toMatchObject({ leakM3PerS: expect.closeTo(1e-8, 12), overS: 120 });
  });

  it('the dwell is a minimum: it goes on past its time until the inspection is confirmed', async () => {
    const at = begin(portA);
    await at.toDwell();
    await at.holds(61, 25);
    expect(at.state.phase.name).toBe('dwell');
    at.keys('i');
    expect(at.screen).toContain('Every point has been looked at');
    at.keys('n');
    await at.holds(61, 1);
    expect(at.state.phase.name).toBe('dwell');
    at.keys('iy');
    await at.holds(61, 0.2);
    expect(at.state.phase.name).toBe('bleed-down');
    await at.leave();
    expect(at.result.ports[0]?.stages[0]?.dwellS).toBeGreaterThan(25);
  });

  it('a port is repeated with what it was, why and a number, up to the cap and no further', async () => {
    const at = begin(portA);
    for (let attempt = 1; attempt <= portA.attemptsCap; attempt++) {
      await at.toDwell();
      at.keys('iy');
      await at.holds(61, 11);
      await at.holds(0, 5);
      expect(at.state.phase.name).toBe('done');
      at.keys('r');
      if (attempt === portA.attemptsCap) break;
      expect(at.screen).toContain('Which port?');
      at.keys('1');
      expect(at.screen).toContain('bench fault: the attempt says nothing about the cylinder');
      at.keys('11hose was loose\ny');
      expect(at.screen).toContain(`attempt ${attempt + 1} of ${portA.attemptsCap}`);
    }
    expect(at.screen).not.toContain('Which port?');
    expect(at.screen).not.toContain('repeat');
    const [port] = at.result.ports;
    expect(port?.attempt).toBe(portA.attemptsCap);
    expect(port?.earlierAttempts.map(({ attempt }) => attempt)).toEqual(
      Array.from({ length: portA.attemptsCap - 1 }, (_, index) => index + 1),
    );
    expect(port?.events.find(({ code }) => code === 'repeat')?.text).toContain('hose was loose');
    at.keys('\ny');
    expect(await at.ended).toEqual({ why: 'complete', gaugeFailure: null });
  });

  it('bleed-down: a pressure that comes back starts the wait again, and no screen says that it is safe', async () => {
    const at = begin(portA);
    await at.toDwell();
    at.keys('iy');
    await at.holds(61, 11);
    expect(at.screen).toContain('Bleed down slowly at the bench valve');
    await at.holds(1, 1.5);
    expect(at.state.phase.name).toBe('bleed-down');
    expect(at.screen.replace(/\s+/g, ' ')).toContain('What is behind a check valve does not show on it.');
    await at.holds(6, 0.5);
    await at.holds(1, 1.5);
    expect(at.state.phase.name).toBe('bleed-down');
    // The zero after the test is taken once the gauge no longer falls.
    await at.holds(0, 5);
    expect(at.state.phase.name).toBe('done');
    expect(at.screen).toContain('Before a line is opened');
    expect(at.screen.replace(/\s+/g, ' ')).toContain('before any fitting is loosened.');
    expect(at.screen).not.toMatch(/\bsafe\b/i);
  });

  it('a small overshoot of a low step is bled back; a large one starts it again from zero', async () => {
    const at = begin(low);
    await at.holds(0, 1.5);
    at.keys('\n');
    await at.holds(0, 1.5);
    await at.shows(...Array.from({ length: 67 }, (_, bar) => bar));
    await at.holds(66, 4);
    expect(at.screen).toContain('Too high: bleed back slowly towards 60.0 bar');
    await at.holds(61, 2);
    expect(at.state.phase.name).toBe('stabilise');
    await at.holds(70, 0.2);
    expect(at.screen).toMatch(/ALARM.* 70\.0 bar is over 68\.0 bar/);
    expect(at.heard).toContain('alarm');
    at.keys('a');
    expect(at.screen).not.toContain('ALARM');
    await at.holds(0, 1);
    await at.toDwell();
    expect(at.state.phase.name).toBe('dwell');
    await at.leave();
    expect(at.result.ports[0]?.events.map(({ code }) => code)).toContain('low-stage-void');
  });

  it('the dwell is ended early, and a phase forced, with a reason that stands in the record', async () => {
    const at = begin(portA);
    await at.holds(0, 1.5);
    at.keys('\n');
    await at.holds(0, 1.5);
    await at.shows(...Array.from({ length: 61 }, (_, bar) => bar));
    at.keys('f1');
    expect(at.screen).toContain('Why force dwell?');
    at.keys('1in a hurry\ny');
    expect(at.state.phase.name).toBe('dwell');
    await at.holds(60, 2);
    at.keys('e1fire drill\ny');
    expect(at.state.phase.name).toBe('bleed-down');
    await at.leave();
    const texts = at.result.ports[0]?.events.map(({ text }) => text).join('\n');
    expect(texts).toContain('Forced from stabilise to dwell: in a hurry');
    expect(texts).toContain('fire drill');
    expect(at.result.ports[0]?.verdict).not.toBe('pass');
  });

  it('a wrong sighting is taken back: it and the correction stand in the record, and the port may pass', async () => {
    const at = begin(portA);
    await at.toDwell();
    at.keys('o245\n');
    at.keys('a');
    expect(at.screen).toContain('OIL OUTSIDE: FAILS');
    at.keys('u');
    expect(at.screen).toContain('gland O-ring: drops (5 drops)');
    at.keys('1\n');
    at.keys('2');
    expect(at.screen).not.toContain('OIL OUTSIDE');
    at.keys('o1\n2iy');
    await at.holds(61, 11);
    await at.holds(0, 5);
    const [port] = at.result.ports;
    expect(port?.verdict).toBe('pass');
    expect(port?.observations).toEqual([{ point: 'rod seal and wiper', amount: 'film' }]);
    const events = port?.events.filter(({ code }) => code === 'external-leak' || code === 'taken-back');
    expect(events).toMatchObject([
      { code: 'external-leak', text: 'Oil outside at the gland O-ring: drops (5 drops)' },
      { code: 'taken-back', grade: 'warn', text: 'Taken back: gland O-ring: drops (5 drops). Why: wrong key' },
    ]);
  });

  it('an inspection that is taken back is asked for again, and without it the paper has none', async () => {
    const at = begin(portA);
    await at.toDwell();
    at.keys('iyu12');
    expect(at.state.facts.inspected).toBe(false);
    expect(at.screen).toContain('Look at every point, then confirm the inspection');
    await at.holds(61, 12);
    expect(at.state.phase.name).toBe('dwell');
    at.keys('e3y');
    await at.holds(0, 5);
    expect(notLookedAt({ plan: portA }, at.result)).toContainEqual({ demand: 'inspection', of: 'A' });
  });

  it('figures that are taken back do not count: oil temperature, oil caught, oil pumped, strokes', async () => {
    const at = begin(portA);
    await at.toDwell();
    at.keys('t1200\n');
    at.keys('c9\n9\n');
    at.keys('t3900\n');
    at.keys('t277\n');
    for (let left = 4; left > 0; left -= 1) at.keys('u14');
    expect(at.state.facts).toMatchObject({ collected: null, strokes: null, oilPumpedM3: null });
    at.keys('iy');
    await at.holds(61, 11);
    await at.holds(0, 5);
    const [stage] = at.result.ports[0]?.stages ?? [];
    expect(stage).toMatchObject({ verdict: 'pass', temperatureCorrected: false });
    expect(at.result.ports[0]?.events.filter(({ code }) => code === 'taken-back')).toHaveLength(4);
  });

  it('a scanner is no keyboard: its text presses no key, is kept when wanted, and a card of the shop does its act', async () => {
    const at = begin(portA, new Map([['CARD-INSPECTED', 'inspected']]));
    await at.toDwell();
    at.scans('WO-2207');
    expect(at.screen).toContain('"WO-2207", not the serial of this cylinder. Write it down as a note?');
    at.keys('\u001b');
    at.scans('LW-77');
    at.keys('y');
    at.keys('n1');
    at.scans('ram 12, seal kit 4');
    at.keys('s');
    at.scans('2y2y2y');
    expect(at.screen).toContain('A scan is no answer here');
    at.keys('\u001b');
    at.scans('CARD-INSPECTED');
    expect(at.screen).toContain('Every point has been looked at');
    at.keys('y');
    expect(at.state.facts.entries.map(({ act }) => act)).toEqual([
      { kind: 'note', text: 'Scanned LW-77: the serial of this cylinder.' },
      { kind: 'note', text: 'ram 12, seal kit 4' },
      { kind: 'inspected' },
    ]);
  });

  it('keys behind a question that closed by itself press nothing', async () => {
    const at = begin(portA);
    await at.holds(0, 1.5);
    at.keys('\n');
    await at.holds(0, 1.5);
    await at.shows(...Array.from({ length: 61 }, (_, bar) => bar));
    at.keys('f');
    await at.holds(61, 6);
    expect(at.state.phase.name).toBe('dwell');
    at.keys('12y');
    expect(at.state.facts).toMatchObject({ inspected: false, observations: [], entries: [] });
  });

  it('sounds tell an alarm from the time to go on and from the end', async () => {
    const at = begin(portA);
    await at.toDwell();
    expect(at.heard.at(-1)).toBe('go on');
    await at.holds(61, 11);
    expect(at.heard.at(-1)).toBe('done');
    at.keys('o25');
    expect(at.heard.at(-1)).toBe('alarm');
    expect(new Set(Object.values(soundStrokes).map((strokes) => strokes.join())).size).toBe(3);
  });

  it('calls no dwell likely to pass that cannot, whatever the pressure does, and says why', async () => {
    const at = begin(portA);
    await at.holds(0.5, 1.5);
    at.keys('\n');
    await at.holds(0.5, 1.5);
    await at.shows(...Array.from({ length: 61 }, (_, bar) => bar + 0.5));
    await at.holds(61.5, 6);
    at.keys('a');
    await at.holds(61.5, 9);
    expect(at.state.phase.name).toBe('dwell');
    expect(at.screen).toContain('CANNOT PASS   the vented gauge did not read zero');
    expect(at.screen).not.toContain('PASS LIKELY');
  });
});
