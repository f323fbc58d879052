import { describe, expect, it } from 'vitest';
import { judge, type PortResult } from '../../src/evaluation/index.js';
import { breakAway } from '../../src/evaluation/strokes/read-stroke.js';
import type { SeenStroke } from '../../src/holdtest/index.js';
import type { StrokeDemand } from '../../src/procedure/index.js';
import { pressurePa } from '../../src/units/index.js';
import { samplePlan, samplePort } from '../holdtest/sample-plan.js';
import { asInputs, drawTrace, type Leg, plainHold } from '../holdtest/sample-trace.js';
import { strokeRun } from './stroke-ensemble.js';

const seen: SeenStroke = {
  fromUs: 1e6,
  topUs: 5e6,
  runToUs: 45e6,
  endUs: 50e6,
  restS: 130,
  zeroPa: 0,
  noisePa: 2e3,
  end: 'end stop',
  topPa: 4e5,
  levelPa: 3e5,
  shownBy: 'fall after the top',
};
const { gauge } = samplePlan();

/**
 * Readings of one stroke ten times a second by a gauge that lags 0.05 s: up to `topPa` at 5.05 s, between two readings,
 * then `run` until 46 s.
 */
const points = (topPa: number, run: (s: number) => number, hz = 10) =>
  Array.from({ length: 46 * hz }, (_, i) => {
    const s = i / hz;
    const ripple = 500 * Math.sin(i * 2.399963);
    const pa = s < 1.05 ? 0 : s <= 5.05 ? (topPa * (s - 1.05)) / 4.05 : run(s);
    return { s, pa: pa + ripple, oppositePa: null };
  });

const read = (run: (s: number) => number, hz?: number) => breakAway(points(4e5, run, hz), seen, 1, 'A', gauge);

describe('break-away and drag of one stroke', () => {
  it('are the top of the rise and the level of the run, each within its uncertainty', () => {
    const stroke = read(() => 3e5);
    expect(Math.abs((stroke.breakAwayPa ?? 0) - 4e5)).toBeLessThanOrEqual(stroke.breakAwayUncertaintyPa ?? 0);
    expect(Math.abs((stroke.runningPa ?? 0) - 3e5)).toBeLessThanOrEqual(stroke.runningUncertaintyPa ?? 0);
    expect(stroke.breakAwayUncertaintyPa).toBeLessThan(0.15e5);
    expect(stroke.runningUncertaintyPa).toBeLessThan(0.02e5);
    expect(stroke.stickSlip.seen).toBe('no');
    expect(stroke).toMatchObject({ direction: 'out', restS: 130, runS: 40, end: 'end stop' });
  });

  it('a saw-tooth at constant flow is stick-slip, with its height and its period', () => {
    const { stickSlip, runningPa } = read((s) => 2.5e5 + 1e5 * ((s / 2) % 1));
    expect(stickSlip.seen).toBe('yes');
    expect(Math.abs((stickSlip.amplitudePa ?? 0) - 1e5)).toBeLessThanOrEqual(stickSlip.amplitudeUncertaintyPa ?? 0);
    expect(stickSlip.periodS).toBeCloseTo(2, 1);
    expect(stickSlip.teeth).toBeGreaterThan(14);
    expect(runningPa).toBeCloseTo(3e5, -4);
  });

  it('a ripple that rises as quickly as it falls is not called stick-slip', () => {
    const { stickSlip } = read((s) => 3e5 + 0.5e5 * Math.sin(Math.PI * s));
    expect(stickSlip.seen).toBe('cannot tell');
    expect(stickSlip.text).toContain('not in a saw-tooth that this gauge can follow');
  });

  it('teeth quicker than the gauge reads can not be told', () =>
    expect(read((s) => 2.5e5 + 1e5 * ((s / 0.23) % 1)).stickSlip.seen).toBe('cannot tell'));

  it('a rise too quick for the gauge leaves the break-away open, and says nothing of it', () => {
    const quick = points(4e5, () => 3e5).map((point) => (point.s < 4.85 ? { ...point, pa: 0 } : point));
    expect(breakAway(quick, seen, 1, 'A', gauge)).toMatchObject({ breakAwayPa: null, breakAwayUncertaintyPa: null });
  });

  it('the difference to the other port is told where a gauge shows it', () => {
    const both = points(4e5, () => 3e5).map((point) => ({ ...point, oppositePa: 0.4e5 }));
    expect(breakAway(both, seen, 1, 'B', gauge).runningDifferencePa).toBeCloseTo(2.6e5, -4);
  });
});

const demand: StrokeDemand = { wanted: 2, restS: 20, belowPa: pressurePa(60e5) };
const stroke: readonly Leg[] = [
  { s: 22, toBar: 0 },
  { s: 4, toBar: 4 },
  { s: 0.2, toBar: 3 },
  { s: 20, toBar: 3 },
  { s: 2, toBar: 20 },
  { s: 2, toBar: 0 },
];
const hold = [{ s: 12, toBar: 0 }, ...plainHold(0.1, 170)];

function judged(strokes: StrokeDemand | undefined, legs: readonly Leg[]): PortResult {
  const plan = samplePlan({ ports: [samplePort(strokes ? { strokes } : {})] });
  const [port] = judge(plan, asInputs(drawTrace([...legs, ...hold]))).ports;
  if (!port) throw new Error('the plan has no port');
  return port;
}

describe('the strokes of a port', () => {
  it('come with a sentence, and move no verdict by themselves', () => {
    const port = judged(demand, [...stroke, ...stroke]);
    expect(port.verdict).toBe('pass');
    expect(port.strokes).toHaveLength(2);
    expect(port.breakAway).toMatchObject({ wanted: 2, seen: 2, stickSlip: 'no', deviation: null });
    expect(port.breakAway?.text).toMatch(
      /^2 slow strokes out: broke away at \{pressure:4.*kept moving by \{pressure:3/,
    );
  });

  it('too few, or too hasty, are a deviation and no more', () => {
    const few = judged(demand, stroke);
    expect(few.verdict).toBe('pass');
    expect(few.breakAway?.deviation).toBe('1 slow stroke seen before the hold of 2 asked for');
    const none = judged(demand, []);
    expect(none.verdict).toBe('pass');
    expect(none.breakAway).toMatchObject({ seen: 0, breakAwayPa: null, text: 'no slow stroke was seen' });
    const hasty = judged({ ...demand, restS: 60 }, [...stroke, ...stroke]);
    expect(hasty.breakAway?.deviation).toBe('stroke 1, 2 after less than {seconds:60} at zero');
  });

  it.each([
    { breakAwayMaxBar: 5, dragMaxBar: 4, verdict: 'pass' },
    { breakAwayMaxBar: 3.5, dragMaxBar: 4, verdict: 'fail' },
    { breakAwayMaxBar: 5, dragMaxBar: 2.5, verdict: 'fail' },
    { breakAwayMaxBar: 4.02, dragMaxBar: 4, verdict: 'inconclusive' },
  ])('a limit with its source decides: $breakAwayMaxBar and $dragMaxBar bar, $verdict', (one) => {
    const limits = {
      breakAwayMaxPa: pressurePa(one.breakAwayMaxBar * 1e5),
      dragMaxPa: pressurePa(one.dragMaxBar * 1e5),
      source: 'order 4711',
    };
    const port = judged({ ...demand, limits }, [...stroke, ...stroke]);
    expect(port.verdict).toBe(one.verdict);
    if (one.verdict !== 'pass') expect(port.reason).toContain('(order 4711)');
  });

  it('a limit with nothing read is inconclusive', () => {
    const port = judged({ ...demand, limits: { breakAwayMaxPa: pressurePa(5e5), source: 'order 4711' } }, []);
    expect(port).toMatchObject({
      verdict: 'inconclusive',
      reason: 'no break-away could be read from the strokes; {pressure:500000} is allowed (order 4711)',
    });
  });

  it('a plan that knows of none is judged without a word of them', () => {
    const port = judged(undefined, [...stroke, ...stroke]);
    expect(port.verdict).toBe('pass');
    expect(Object.keys(port)).not.toContain('strokes');
    expect(Object.keys(port)).not.toContain('breakAway');
  });
});

describe('a cylinder on the simulated bench', () => {
  it('is read as it truly is: grip, sliding, and the heights of its slips', async () => {
    const { port, truth } = await strokeRun('sticking', 7, { script: { count: 1, letGoAt: 0.4 } });
    const [found, real] = [port.strokes?.[0], truth[0]];
    if (!found || !real) throw new Error('no stroke was seen');
    expect(Math.abs((found.breakAwayPa ?? 0) - (real.breakAwayPa ?? 0))).toBeLessThanOrEqual(
      found.breakAwayUncertaintyPa ?? 0,
    );
    expect(found.stickSlip.seen).toBe('yes');
    expect(real.slips).toBeGreaterThan(3);
    expect(Math.abs((found.stickSlip.amplitudePa ?? 0) - (real.slipPa ?? 0))).toBeLessThanOrEqual(
      found.stickSlip.amplitudeUncertaintyPa ?? 0,
    );
  });
});
