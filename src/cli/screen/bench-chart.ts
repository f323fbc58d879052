import { progressOf } from '../../holdtest/index.js';
import { formatIn, pressureDecimals } from '../../units/index.js';
import { allowedHere, clock } from './bench-figures.js';
import type { BenchView } from './bench-view.js';
import { chartFoot, chartLines, type Rule } from './chart.js';
import { type Line, span } from './frame.js';
import type { Terms } from './paint-line.js';
import type { TraceSketch } from './trace-sketch.js';

interface Picture {
  readonly trace: TraceSketch;
  readonly spanS: number;
  readonly lowPa: number;
  readonly highPa: number;
  readonly rules: readonly Rule[];
  readonly legend: Line;
}

/** The trace with what it is held against: the whole attempt, or the hold alone once the cylinder is shut in. */
export function chartPart(view: BenchView, width: number, height: number, terms: Terms): Line[] {
  if (height < 4) return Array.from({ length: Math.max(0, height) }, () => []);
  const { system } = view;
  const picture =
    view.state.phase.name === 'dwell'
      ? dwell(view)
      : view.state.phase.name === 'stabilise'
        ? settling(view)
        : whole(view);
  const fine = picture.highPa - picture.lowPa < 20e5 ? 1 : 0;
  const decimals = Math.min(3, pressureDecimals(system.pressure) + (system.pressure === 'psi' ? 0 : fine));
  const label = (pa: number) => formatIn(pa, 'pressure', system.pressure, decimals);
  const rules = picture.rules.map((rule) => ({ ...rule, label: label(rule.toPa) }));
  const lines = chartLines({ ...picture, rules, width: width - 1, height: height - 1, unicode: terms.unicode, label });
  return [...lines, chartFoot(width - 1, clock(picture.spanS), picture.legend)];
}

/** Highest and lowest of a trace; a trace without readings has none. */
function extent(trace: TraceSketch): { readonly lowPa: number; readonly highPa: number } | null {
  let lowPa = Number.POSITIVE_INFINITY;
  let highPa = Number.NEGATIVE_INFINITY;
  for (const column of trace.columns) {
    if (!column) continue;
    lowPa = Math.min(lowPa, column.lowPa);
    highPa = Math.max(highPa, column.highPa);
  }
  return highPa >= lowPa ? { lowPa, highPa } : null;
}

const target = (pa: number): Rule => ({ fromPa: pa, toPa: pa, sign: '─', style: 'dim' });
const limit = (pa: number): Rule => ({ fromPa: pa, toPa: pa, sign: '╌', style: 'bad' });

/** From zero to above the target. */
function whole(view: BenchView): Picture {
  const { port } = progressOf(view.plan, view.state);
  const last = port?.stages.at(-1);
  const stage = view.plan.ports[view.state.portIndex]?.stages[view.state.stageIndex] ?? last;
  const seen = extent(view.whole);
  const goal = stage?.targetPa ?? 0;
  const ceiling = port?.overpressurePa ?? goal;
  const highPa = Math.max(goal * 1.12, seen?.highPa ?? 0, ceiling * 1.01, 1e5);
  return {
    trace: view.whole,
    spanS: Math.max(30, view.whole.spanS * 1.02),
    lowPa: Math.min(0, seen?.lowPa ?? 0),
    highPa,
    rules: [target(goal), limit(ceiling)],
    legend: [span('─ target  ', 'dim'), span('╌ never above', 'bad')],
  };
}

/** The band round the target and what the pressure does in it. */
function settling(view: BenchView): Picture {
  const { stage } = progressOf(view.plan, view.state);
  const seen = extent(view.hold);
  const goal = stage?.targetPa ?? 0;
  const floor = goal - (stage?.belowPa ?? 0);
  const top = goal + (stage?.abovePa ?? 0);
  const margin = 0.15 * (top - floor);
  return {
    trace: view.hold,
    spanS: Math.max(20, view.hold.spanS * 1.05),
    lowPa: Math.min(floor, seen?.lowPa ?? floor) - margin,
    highPa: Math.max(top, seen?.highPa ?? top) + margin,
    rules: [target(goal), limit(floor), limit(top)],
    legend: [span('─ target  ', 'dim'), span('╌ band', 'bad')],
  };
}

/** The dwell enlarged: its start, the level it must not end below, and the fall that just reaches it. */
function dwell(view: BenchView): Picture {
  const { stage } = progressOf(view.plan, view.state);
  const { phase } = view.state;
  const seen = extent(view.hold);
  const start = phase.name === 'dwell' ? phase.startPa : 0;
  const allowed = allowedHere(view) ?? 0.02 * start;
  const spanS = Math.max(stage?.dwellS ?? 60, view.hold.spanS);
  const end = start - (allowed * spanS) / (stage?.dwellS ?? spanS);
  return {
    trace: view.hold,
    spanS,
    lowPa: Math.min(start - 1.25 * allowed, seen?.lowPa ?? start),
    highPa: Math.max(start + 0.35 * allowed, seen?.highPa ?? start),
    rules: [{ fromPa: start, toPa: end, sign: '·', style: 'warn' }, limit(start - allowed), target(start)],
    legend: [span('─ start  ', 'dim'), span('· allowed decay  ', 'warn'), span('╌ lowest allowed end', 'bad')],
  };
}
