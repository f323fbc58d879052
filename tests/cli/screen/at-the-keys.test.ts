import { afterEach, describe, expect, it } from 'vitest';
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
const begin = (plan: TestPlan): AtTheKeys => {
  bench = new AtTheKeys(plan);
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
    await at.holds(0, 1);
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
    expect(at.bells).toBeGreaterThan(0);
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
});
