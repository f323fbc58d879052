import { type PromptKey, progressOf, promptFor } from '../../holdtest/index.js';
import { formatIn, pressureDecimals, spell } from '../../units/index.js';
import { chartPart } from './bench-chart.js';
import { clock, clockLine, estimateLine, factLines } from './bench-figures.js';
import type { BenchView } from './bench-view.js';
import { bigFigures, figureRows } from './big-figures.js';
import { cut, type Frame, harmless, type Line, lineWidth, padTo, span, spread, wrapText } from './frame.js';
import { actKeys } from './key-words.js';
import { fitFrame, type Terms } from './paint-line.js';
import { steps } from './phase-words.js';
import { verdictLines } from './verdict-part.js';

export interface ScreenSize {
  readonly columns: number;
  readonly rows: number;
}

/** The least that the screen is laid out for; below it things are cut off at the right and at the bottom. */
const least: ScreenSize = { columns: 80, rows: 24 };

/**
 * The screen at the bench, from top to bottom: what is tested, the pressure in big figures with what it is held
 * against beside it, alarms, the one thing to do, time and estimate, the trace, the last events, keys.
 */
export function benchScreen(view: BenchView, { columns, rows }: ScreenSize, terms: Terms): Frame {
  const width = Math.max(columns, 20);
  const roomy = width >= 120 && rows >= 36;
  const top = [headLine(view, width), stepLine(view, width)];
  const figures = figurePart(view, roomy ? 2 : 1);
  const asked = promptPart(view, width, roomy);
  const times = view.state.phase.name === 'done' ? [[]] : [clockLine(view, width), estimateLine(view)];
  const alarms = alarmPart(view, width);
  const keys = keyLine(view, width);
  const fixed = top.length + figures.length + asked.length + times.length + alarms.length + 1;
  const left = Math.max(0, Math.max(rows, least.rows) - fixed);
  const eventRows = Math.min(view.events.length, rows >= 36 ? 8 : rows >= 30 ? 4 : 2, Math.max(0, left - 5));
  const middle =
    view.state.phase.name === 'done'
      ? verdictLines(view, width, left - eventRows)
      : chartPart(view, width, left - eventRows, terms);
  const body = [...top, ...figures, ...alarms, ...asked, ...times, ...middle, ...eventPart(view, width, eventRows)];
  while (body.length < rows - 1) body.push([]);
  return fitFrame([...body.slice(0, rows - 1), keys], columns, rows);
}

function headLine(view: BenchView, width: number): Line {
  const { header, plan, state } = view;
  const port = plan.ports[state.portIndex];
  const attempt = state.attempt > 1 ? `, attempt ${state.attempt} of ${plan.attemptsCap}` : '';
  const left: Line = [
    span(` ${header.test} `, 'band'),
    span(harmless(`  ${header.customer}  cylinder ${header.cylinder.serial}`)),
    ...(header.origin === 'simulated' ? [span('  SIMULATED GAUGE', 'warn')] : []),
    ...(view.mode === 'watch' ? [span('  watching, read-only', 'dim')] : []),
  ];
  const right: Line = [span(port ? `port ${port.port}${attempt} ` : 'all ports done ', 'bold')];
  return spread(left, right, width);
}

function stepLine(view: BenchView, width: number): Line {
  const { phase } = view.state;
  const { stage, port } = progressOf(view.plan, view.state);
  const now = steps.findIndex(([name]) => name === phase.name);
  const track: Line = steps.flatMap(([name, word], index): Line => {
    const joint = index === 0 ? [span(' ')] : [span(' ─ ', 'dim')];
    const style = name === phase.name ? (view.flash ? 'alarm' : 'band') : index < now || now < 0 ? 'good' : 'dim';
    return [...joint, span(name === phase.name ? ` ${word.toUpperCase()} ` : word, style)];
  });
  const stages = port?.stages.length ?? 0;
  const right = stage ? `${stage.name}${stages > 1 ? ` (${view.state.stageIndex + 1} of ${stages})` : ''} ` : '';
  return spread(track, [span(harmless(right), 'bold')], width);
}

/** The pressure, read from three metres, and what it is held against. */
function figurePart(view: BenchView, scale: number): Line[] {
  const { reading, silentS, system } = view;
  const pa = reading?.pressurePa ?? null;
  const lost = pa === null || silentS === null || silentS > 2;
  const unit = system.pressure;
  const text = pa === null ? '---' : formatIn(pa, 'pressure', unit, pressureDecimals(unit));
  const big = bigFigures(text, scale);
  const facts = factLines(view);
  const style = lost ? 'dim' : view.state.alarms.length > 0 ? 'bad' : 'bold';
  const figureWidth = Math.max(...big.map((line) => line.length), 18 * scale) + 3;
  const lines: Line[] = [[]];
  for (let row = 0; row < Math.max(figureRows * scale, facts.length); row++) {
    const unitHere = row === figureRows * scale - 1 ? unitText(unit, lost, silentS) : '';
    const left = padTo(`  ${big[row] ?? ''}`, figureWidth);
    lines.push([
      span(left, style),
      span(padTo(unitHere, 12), lost ? 'warn' : 'bold'),
      ...(facts[row - (facts.length > figureRows * scale ? 0 : figureRows * scale - facts.length)] ?? []),
    ]);
  }
  return lines;
}

function unitText(unit: string, lost: boolean, silentS: number | null): string {
  if (!lost) return unit;
  return silentS === null ? 'no reading' : silentS > 2 ? `${Math.floor(silentS)} s old` : 'no value';
}

function promptPart(view: BenchView, width: number, roomy: boolean): Line[] {
  const text = spell(promptFor(view.plan, view.state).text, view.system);
  const lines = wrapText(text, width - 6, 2);
  const mark = view.mode === 'bench' ? ' ▶ ' : '   ';
  const shown = lines.map((line, index): Line => [span(index === 0 ? mark : '   ', 'warn'), span(line, 'bold')]);
  while (shown.length < 2) shown.push([]);
  return roomy ? [[], ...shown, []] : shown;
}

function eventPart(view: BenchView, width: number, rows: number): Line[] {
  if (rows === 0) return [];
  return view.events.slice(-rows).map((event): Line => {
    const style = event.grade === 'note' ? 'dim' : event.grade === 'warn' ? 'warn' : 'bad';
    return [
      span(`${clock(event.timeUs / 1e6).padStart(8)}  `, 'dim'),
      span(cut(harmless(spell(event.text, view.system)), width - 12), style),
    ];
  });
}

/** Alarms stay here until somebody says that he has seen them: the newest in full, how many stand before it. */
function alarmPart(view: BenchView, width: number): Line[] {
  const { alarms } = view.state;
  const newest = alarms.at(-1);
  if (!newest) return [];
  const more = alarms.length > 1 ? ` (${alarms.length})` : '';
  const texts = wrapText(`ALARM${more}  ${harmless(spell(newest.text, view.system))}`, width - 2, 2);
  return texts.map((text): Line => [span(padTo(` ${text}`, width), 'alarm')]);
}

/** Words that give way first where a line is too short for all keys; the keys themselves go on working. */
const firstToGo: readonly PromptKey[] = ['oil', 'force', 'collected'];

/** The keys that mean something now. */
function keyLine(view: BenchView, width: number): Line {
  if (view.mode === 'watch') return [span(' q', 'bold'), span(' leave; the test goes on without you', 'dim')];
  const { keys } = promptFor(view.plan, view.state);
  const mute: Line = [span('m ', 'bold'), span(view.bell ? 'mute ' : 'bell ', 'dim')];
  let shown = keys.map((act) => ({ act, line: keyWords(view, act) }));
  const tooWide = (): boolean => shown.reduce((sum, { line }) => sum + lineWidth(line), lineWidth(mute) + 1) > width;
  for (const act of firstToGo) if (tooWide()) shown = shown.filter((one) => one.act !== act);
  return spread(
    shown.flatMap(({ line }) => line),
    mute,
    width,
  );
}

function keyWords({ state }: BenchView, act: PromptKey): Line {
  const word = state.phase.name === 'done' && act === 'continue' ? 'finish' : actKeys[act].word;
  return [span(` ${actKeys[act].key}`, act === 'acknowledge' ? 'bad' : 'bold'), span(` ${word} `, 'dim')];
}
