import { phaseWord, progressOf } from '../../../holdtest/index.js';
import { spell } from '../../../units/index.js';
import { clock, estimateLine } from '../bench-figures.js';
import { benchScreen, headLine, type ScreenSize, stepLine } from '../bench-screen.js';
import type { BenchView } from '../bench-view.js';
import { cut, type Frame, type Line, lineWidth, padTo, span, spread } from '../frame.js';
import { fitFrame, type Terms } from '../paint-line.js';
import { verdictText } from '../verdict-part.js';

/** Everything that the screen of a replay shows. */
export interface ReplayView {
  readonly own: BenchView;
  readonly beside: BenchView | null;
  /** What the other procedure is called. */
  readonly besideName: string;
  readonly at: { readonly s: number; readonly ofS: number };
  readonly speed: number;
  readonly paused: boolean;
  /** Seconds since the beginning at which something happened. */
  readonly marksS: readonly number[];
  /** Whether the verdict came out as it was stored. */
  readonly comparison: string;
}

/** Room for two columns of text side by side. */
const twoColumns = 120;

/**
 * The screen at the bench as it was, where the replay stands below it, and what another procedure makes of the same
 * moment under that. At the end the verdicts of both stand beside each other.
 */
export function replayScreen(view: ReplayView, { columns, rows }: ScreenSize, terms: Terms): Frame {
  const strip = [...(view.beside ? besideLines(view, view.beside, columns) : []), transportLine(view, columns)];
  const keys = keyLine(columns);
  if (view.own.state.phase.name === 'done') {
    const foot = [[span(` ${cut(view.comparison, columns - 2)}`, 'bold')], transportLine(view, columns), keys];
    const top = [headLine(view.own, columns), stepLine(view.own, columns), []];
    const body = verdictPart(view, columns, rows - top.length - foot.length);
    while (body.length < rows - top.length - foot.length) body.push([]);
    return fitFrame([...top, ...body, ...foot], columns, rows);
  }
  const bench = benchScreen(view.own, { columns, rows: rows - strip.length - 1 }, terms);
  return fitFrame([...bench.lines, ...strip, keys], columns, rows);
}

/** Where it stands: going or not, how fast, time, and a bar on which the events are marked. */
function transportLine({ at, speed, paused, marksS }: ReplayView, width: number): Line {
  const state = paused ? ' STANDING ' : ` ${speed} x `;
  const times = ` ${clock(at.s)} of ${clock(at.ofS)}  `;
  const cells = Math.max(10, width - state.length - times.length - 2);
  const cellOf = (s: number): number => Math.min(cells - 1, Math.floor((s / Math.max(at.ofS, 1e-6)) * cells));
  const marked = new Set(marksS.map(cellOf));
  const now = cellOf(at.s);
  const bar = Array.from({ length: cells }, (_, cell) => {
    if (cell === now) return span('█', 'bold');
    return marked.has(cell) ? span('│', cell < now ? 'accent' : 'plain') : span('─', cell < now ? 'accent' : 'dim');
  });
  return [span(state, paused ? 'warn' : 'band'), span(times, 'bold'), ...bar];
}

function keyLine(width: number): Line {
  const keys: readonly (readonly [string, string])[] = [
    ['Space', 'go, stand'],
    ['+ -', 'speed'],
    ['← →', 'event'],
    ['g', 'go to'],
    ['?', 'keys'],
    ['q', 'leave'],
  ];
  const words = keys.flatMap(([key, word]): Line => [span(` ${key}`, 'bold'), span(` ${word} `, 'dim')]);
  const right = 'nothing is changed ';
  return lineWidth(words) + right.length < width ? spread(words, [span(right, 'dim')], width) : words;
}

/** The other procedure at this moment: its phase, its target, what it expects. */
function besideLines({ besideName }: ReplayView, beside: BenchView, width: number): Line[] {
  const { stage } = progressOf(beside.plan, beside.state);
  const where = `${stage?.name ?? ''} ${phaseWord(beside.state.phase.name)}`.trim();
  const target = stage ? spell(`, target {pressure:${stage.targetPa}}`, beside.system) : '';
  const estimate = estimateLine(beside, width);
  const phase = `   ${where}${target}`;
  return [
    besideTitle(besideName, width),
    estimate.length === 0
      ? [span(phase, 'bold')]
      : [...estimate, span(lineWidth(estimate) + phase.length <= width ? phase : '', 'dim')],
  ];
}

const besideTitle = (name: string, width: number): Line => [
  span(padTo(cut(` Beside it, by ${name}; the original stands`, width), width), 'band'),
];

function verdictPart({ own, beside, besideName }: ReplayView, width: number, rows: number): Line[] {
  const title = (text: string, wide: number): Line => [span(padTo(cut(` ${text}`, wide - 1), wide - 1), 'band')];
  const original = `${own.plan.procedure.id}, revision ${own.plan.procedure.revision}: the original`;
  if (!beside) return [title(original, width), ...verdictText(own, width - 1, rows - 1)];
  if (width < twoColumns) {
    const half = Math.floor(rows / 2);
    const first = verdictText(own, width - 1, half - 1);
    const second = verdictText(beside, width - 1, rows - first.length - 2);
    return [title(original, width), ...first, besideTitle(besideName, width), ...second];
  }
  const wide = Math.floor(width / 2);
  const left = [title(original, wide), ...verdictText(own, wide - 2, rows - 1)];
  const right = [title(`Beside it, by ${besideName}`, wide), ...verdictText(beside, wide - 2, rows - 1)];
  return Array.from({ length: Math.max(left.length, right.length) }, (_, row): Line => {
    const line = left[row] ?? [];
    return [...line, span(' '.repeat(Math.max(0, wide - lineWidth(line)))), ...(right[row] ?? [])];
  });
}
