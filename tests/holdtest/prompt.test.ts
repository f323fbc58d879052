import { describe, expect, it } from 'vitest';
import { beginHold, type HoldInput, type HoldState, promptFor, step } from '../../src/holdtest/index.js';
import { pressurePa } from '../../src/units/index.js';
import { quickPlan } from '../bench-live/quick-plan.js';

const plan = quickPlan('attended');
let timeUs = 0;

const reading = (bar: number): HoldInput => {
  timeUs += 100_000;
  return {
    kind: 'reading',
    reading: { timeUs, pressurePa: pressurePa(bar * 1e5), oppositePa: null, oilK: null, flags: 0 },
  };
};
const act = (what: Extract<HoldInput, { kind: 'operator' }>['act']): HoldInput => ({
  kind: 'operator',
  timeUs,
  act: what,
});
const onward = (state: HoldState, inputs: readonly HoldInput[]): HoldState =>
  inputs.reduce((now, input) => step(plan, now, input).state, state);
const held = (bar: number, seconds: number): HoldInput[] => Array.from({ length: seconds * 10 }, () => reading(bar));
const rise = (from: number, to: number): HoldInput[] =>
  Array.from({ length: Math.ceil((to - from) / 0.5) }, (_, i) => reading(from + (i + 1) * 0.5));

const fresh = beginHold(plan.ports.length);
const vented = onward(fresh, held(0, 2));
const confirmed = onward(vented, [act({ kind: 'continue' }), ...held(0, 2)]);
const zeroing = onward(vented, [act({ kind: 'continue' }), reading(0)]);
const rising = onward(confirmed, rise(0, 30));
const settling = onward(rising, [...rise(30, 61), reading(61)]);
const dwelling = onward(settling, held(61, 5));
const over = onward(dwelling, held(61, 11));
const bleeding = onward(over, [act({ kind: 'inspected' })]);
const down = onward(bleeding, held(0, 1));
const portB = onward(down, held(0, 2));

describe('the one thing to do', () => {
  it.each<[string, HoldState, string, string]>([
    [
      'before anything',
      fresh,
      'ready',
      'Connect port A: piston extended, other port open. Vent the gauge, then continue.',
    ],
    ['just confirmed', zeroing, 'ready', 'The zero of the vented gauge is being taken: wait a moment.'],
    ['zero taken', confirmed, 'ready', 'Raise the pressure to {pressure:6000000}, no faster than {rate:2000000}.'],
    ['on the way up', rising, 'ramp', 'Raise the pressure to {pressure:6000000}, a little above it, and stop there.'],
    ['shut in', settling, 'stabilise', 'Shut the cylinder in and leave every valve alone while the pressure settles.'],
    ['holding', dwelling, 'dwell', 'Touch no valve. Look at every point, then confirm the inspection.'],
    [
      'time over',
      over,
      'dwell',
      'The time is over. Look at every point, then confirm the inspection; until then the dwell goes on.',
    ],
    ['letting go', bleeding, 'bleed-down', 'Bleed down slowly at the bench valve, to below {pressure:200000}.'],
    [
      'gauge down',
      down,
      'bleed-down',
      'Leave the bleed valve open: the gauge must stay down. What is behind a check valve does not show on it.',
    ],
    [
      'next port',
      portB,
      'ready',
      'The cylinder may still be under pressure: vent both ports first. Connect port B: piston retracted, other port open. Vent the gauge, then continue.',
    ],
  ])('%s', (_name, state, phase, text) => {
    expect(state.phase.name).toBe(phase);
    expect(promptFor(plan, state).text).toBe(text);
  });

  it('while settling outside the band it says which way to go', () => {
    const then = (bar: number, seconds: number): HoldState => {
      timeUs = settling.signal.lastUs ?? 0;
      return onward(settling, held(bar, seconds));
    };
    const low = then(55, 1);
    const high = then(63.5, 12);
    const within = then(62.9, 1);
    expect(promptFor(plan, within).text).toMatch(/^Shut the cylinder in/);
    expect(promptFor(plan, low).text).toBe('Too low: top up to {pressure:6000000}, then shut the cylinder in.');
    expect(promptFor(plan, high).text).toMatch(/^Too high: bleed back slowly towards {pressure:6000000}/);
  });

  it('after the inspection only the clock is left', () => {
    const inspected = onward(dwelling, [act({ kind: 'inspected' })]);
    expect(promptFor(plan, inspected)).toMatchObject({ text: 'Inspected. Touch no valve until the time is over.' });
    expect(promptFor(plan, inspected).keys).not.toContain('inspected');
  });
});

describe('the keys offered', () => {
  it('let a port be repeated only between ports, once it has been tested', () => {
    expect(promptFor(plan, vented).keys).not.toContain('repeat');
    expect(promptFor(plan, dwelling).keys).not.toContain('repeat');
    expect(promptFor(plan, portB).keys).toContain('repeat');
  });

  it('offer acknowledging first, and only while an alarm stands', () => {
    const seen = { kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops' } } as const;
    const alarmed = onward(dwelling, [act(seen)]);
    expect(promptFor(plan, alarmed).keys[0]).toBe('acknowledge');
    expect(promptFor(plan, onward(alarmed, [act({ kind: 'acknowledge' })])).keys).not.toContain('acknowledge');
  });

  it('never say that anything is safe', () => {
    for (const state of [fresh, confirmed, rising, settling, dwelling, over, bleeding, down, portB])
      expect(promptFor(plan, state).text).not.toMatch(/\bsafe/i);
  });
});
