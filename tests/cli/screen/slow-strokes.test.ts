import { beforeAll, describe, expect, it } from 'vitest';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import type { BenchView } from '../../../src/cli/screen/bench-view.js';
import { lineWidth } from '../../../src/cli/screen/frame.js';
import { frameText } from '../../../src/cli/screen/paint-line.js';
import { breakAway } from '../../../src/evaluation/strokes/read-stroke.js';
import { pressurePa } from '../../../src/gauge/index.js';
import type { PortPlan } from '../../../src/procedure/index.js';
import { showTest } from './shown.js';

let vented: BenchView | undefined;

beforeAll(async () => {
  await showTest({ dwellS: 2, ports: ['A'] }, ({ phase, view }) => {
    if (phase === 'ready') vented ??= view();
  });
});

/** A stroke at 10 Hz: up to 6 bar, a run at 4 bar, on to the stop. */
function stroke(number: number) {
  const rise = Array.from({ length: 31 }, (_, index) => index / 5);
  const bars = [...Array(20).fill(0), ...rise, ...Array(60).fill(4), 6, 8, 10, 12, 8, 4, 0, 0];
  const points = bars.map((bar, index) => ({ s: index / 10, pa: bar * 1e5, oppositePa: null }));
  const seen = {
    fromUs: 1_900_000,
    topUs: 5_000_000,
    runToUs: 11_000_000,
    endUs: 11_800_000,
    restS: 1.9,
    zeroPa: 0,
    noisePa: 500,
    end: 'end stop',
    topPa: 6e5,
    levelPa: 4e5,
    shownBy: 'fall after the top',
  } as const;
  if (!vented) throw new Error('the gauge was never vented');
  return breakAway(points, seen, number, 'A', vented.plan.gauge);
}

/** The screen before pressure, with a plan that asks for three strokes. */
function screen(seen: number, port: Partial<PortPlan> = {}): string[] {
  if (!vented) throw new Error('the gauge was never vented');
  const { plan, state } = vented;
  const [first] = plan.ports;
  if (!first) throw new Error('no port');
  const strokes = { ...(first.strokes ?? { restS: 30, belowPa: pressurePa(2e6) }), wanted: 3 } as PortPlan['strokes'];
  const view: BenchView = {
    ...vented,
    plan: { ...plan, ports: [{ ...first, ...port, ...(strokes ? { strokes } : {}) }] },
    state: {
      ...state,
      strokes: { ...state.strokes, seen },
      phase: state.phase.name === 'ready' ? { ...state.phase, confirmed: false } : state.phase,
    },
    strokes: Array.from({ length: seen }, (_, index) => stroke(index + 1)),
  };
  const frame = benchScreen(view, { columns: 80, rows: 24 }, { colour: true, unicode: true });
  for (const line of frame.lines) expect(lineWidth(line)).toBeLessThanOrEqual(80);
  return frameText(frame).map((line) => line.replaceAll('\u00a0', ' '));
}

describe('slow strokes before the hold', () => {
  it('are asked for in full at 80 columns, also where the words are longest', () => {
    const shown = screen(0, { position: 'mid-stroke restrained', opposite: 'blocked' }).join(' ').replace(/\s+/g, ' ');
    expect(shown).toContain(
      'Port A: make 3 slow full strokes at low pressure, a rest at zero before each; 0 seen. Then piston mid-stroke restrained, other port blocked, vent, and continue.',
    );
  });

  it('show what each came to on one line, as soon as it is over', () => {
    expect(screen(0).join('\n')).not.toContain('broke away');
    const lines = screen(3).filter((line) => line.includes('stroke broke away, ran (bar)'));
    expect(lines).toHaveLength(1);
    const [line = ''] = lines;
    const figures = [...line.matchAll(/(\d): ([\d.]+), ([\d.]+)/g)].map(([, ...found]) => found.map(Number));
    expect(figures.map(([number]) => number)).toEqual([1, 2, 3]);
    for (const [, broke, ran] of figures) {
      expect(broke).toBeCloseTo(6, 0);
      expect(ran).toBeCloseTo(4, 0);
    }
  });

  it('keep the newest three in sight where there were more', () => {
    const line = screen(5).find((one) => one.includes('broke away')) ?? '';
    expect(line).toMatch(/ 3: .* 4: .* 5: /);
    expect(line).not.toContain(' 2: ');
  });
});
