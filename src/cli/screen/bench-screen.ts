import { type PromptKey, phaseSteps, progressOf, promptFor } from '../../holdtest/index.js';
import { formatIn, pressureDecimals, spell } from '../../units/index.js';
import { chartPart } from './bench-chart.js';
import { clock, clockLine, estimateLine, factLines, limitsText } from './bench-figures.js';
import type { BenchView } from './bench-view.js';
import { bigFigures, bigWidth, figureRows } from './big-figures.js';
import { cutLine, type Frame, harmless, type Line, lineWidth, padTo, span, spread, wrapText } from './frame.js';
import { actKeys } from './key-words.js';
import { fitFrame, type Terms } from './paint-line.js';
import { verdictLines } from './verdict-part.js';

export interface ScreenSize {
  readonly columns: number;
  readonly rows: number;
}

/**
 * The screen at the bench, from top to bottom: what is tested, the pressure in big figures with what it is held
 * against beside it, alarms, the one thing to do, time and estimate, the trace, the last events, keys.
 */
export function benchScreen(view: BenchView, { columns, rows }: ScreenSize, terms: Terms): Frame {
  const width = Math.max(columns, 20);
  const roomy = width >= 120 && rows >= 36;
  const top = [headLine(view, width), stepLine(view, width)];
  const asked = promptPart(view, width, roomy ? 2 : rows >= 28 ? 1 : 0);
  const alarms = alarmPart(view, width);
  const cautions = view.state.phase.name === 'done' ? openingLines(width) : [];
  // Alarm, prompt and caution are never cut: on a small screen times and figures give way to them.
  const room = rows - top.length - asked.length - alarms.length - cautions.length - 1;
  const big = terms.plain ? [] : figurePart(view, width, roomy ? 2 : 1);
  const small = [smallFigure(view, width), ...(terms.plain ? [[span(`   ${limitsText(view)}`)]] : [])];
  const figures = terms.plain ? small : ([big, big.slice(1)].find(({ length }) => length <= room) ?? small);
  const clocks = cautions.length > 0 ? [] : [clockLine(view, terms.plain ? 59 : width), estimateLine(view, width)];
  const times = [...cautions, ...clocks.slice(0, Math.max(0, room - figures.length))];
  // Whoever replays has keys of his own, below this.
  const keys = view.mode === 'replay' ? [] : [keyLine(view, width)];
  const fixed = top.length + figures.length + asked.length + times.length + alarms.length + keys.length;
  const left = Math.max(0, rows - fixed);
  const eventRows = Math.min(
    Math.max(Math.min(view.events.length, rows >= 36 ? 8 : rows >= 30 ? 4 : 2), newestLines(view, width)),
    Math.max(0, left - 5, Math.min(left, newestLines(view, width))),
  );
  const middle =
    view.state.phase.name === 'done'
      ? verdictLines(view, width, left - eventRows)
      : terms.plain
        ? []
        : chartPart(view, width, left - eventRows, terms);
  const body = [...top, ...figures, ...alarms, ...asked, ...times, ...middle, ...eventPart(view, width, eventRows)];
  const above = rows - keys.length;
  while (body.length < above) body.push([]);
  return fitFrame([...body.slice(0, above), ...keys], columns, rows);
}

/** The gauge at zero is not the cylinder at zero. */
const openingLines = (width: number): Line[] =>
  wrapText('Before a line is opened: wait, look at a second gauge, ask about checks.', width - 4).map(
    (text): Line => [span(`   ${text}`, 'warn')],
  );

/** What is tested, and which port of it. */
export function headLine(view: BenchView, width: number): Line {
  const { header, plan, state } = view;
  const port = plan.ports[state.portIndex];
  const attempt = state.attempt > 1 ? `, attempt ${state.attempt} of ${plan.attemptsCap}` : '';
  const marked = (test: string, of: string): Line => [
    ...(test === '' ? [] : [span(` ${test} `, 'band')]),
    span(harmless(of)),
    ...(header.origin === 'simulated' ? [span(of === '' ? '  SIMULATED' : '  SIMULATED GAUGE', 'warn')] : []),
    ...(view.mode === 'bench' ? [] : [span(view.mode === 'watch' ? '  watching, read-only' : '  replay', 'dim')]),
  ];
  const right: Line = [span(port ? `port ${port.port}${attempt} ` : 'all ports done ', 'bold')];
  const cylinder = `  cylinder ${header.cylinder.serial}`;
  // Customer, cylinder and test give way before the word that this is simulated, watched or replayed.
  const ways = [
    marked(header.test, `  ${header.customer}${cylinder}`),
    marked(header.test, cylinder),
    marked(header.test, ''),
  ];
  const left = ways.find((line) => lineWidth(line) + lineWidth(right) < width) ?? marked('', '');
  return spread(left, right, width);
}

/** The phases in their order, the one that is on set apart. */
export function stepLine(view: BenchView, width: number): Line {
  const { phase } = view.state;
  const { stage, port } = progressOf(view.plan, view.state);
  const now = phaseSteps.findIndex(([name]) => name === phase.name);
  const track: Line = phaseSteps.flatMap(([name, word], index): Line => {
    const joint = index === 0 ? [span(' ')] : [span(' ─ ', 'dim')];
    const style = name === phase.name ? (view.flash ? 'alarm' : 'band') : index < now || now < 0 ? 'good' : 'dim';
    return [...joint, span(name === phase.name ? ` ${word.toUpperCase()} ` : word, style)];
  });
  const stages = port?.stages.length ?? 0;
  const right = stage ? `${stage.name}${stages > 1 ? ` (${view.state.stageIndex + 1} of ${stages})` : ''} ` : '';
  const bold: Line = [span(harmless(right), 'bold')];
  if (lineWidth(track) + right.length < width) return spread(track, bold, width);
  if (now < 0) return [span('  DONE ', 'good')];
  const word = phaseSteps[now]?.[1].toUpperCase() ?? '';
  const short: Line = [
    span(' '),
    span(` ${word} `, view.flash ? 'alarm' : 'band'),
    span(`  ${now + 1} of ${phaseSteps.length}`, 'dim'),
  ];
  return spread(short, bold, width);
}

/** The pressure, read from three metres, what it is held against and, where there is room, the time left as big. */
function figurePart(view: BenchView, width: number, scale: number): Line[] {
  const { reading, silentS, system } = view;
  const pa = reading?.pressurePa ?? null;
  const lost = isLost(view);
  const gone = silentS !== null && silentS > 2;
  const unit = system.pressure;
  // A value of before must not look like the pressure of now.
  const text = pa === null || gone ? '---' : formatIn(pa, 'pressure', unit, pressureDecimals(unit));
  const big = bigFigures(text, scale);
  const style = lost ? 'dim' : view.state.alarms.length > 0 ? 'bad' : 'bold';
  const figureWidth = Math.max(...big.map((line) => line.length), 18 * scale) + 3;
  const facts = width < leastBeside ? [] : factLines(view, width - figureWidth - unitWidth(width));
  const height = Math.max(figureRows * scale, facts.length);
  const time = bigTime(view, width - figureWidth - unitWidth(width) - factWidth, scale);
  const lines: Line[] = [[]];
  for (let row = 0; row < height; row++) {
    const unitHere = row === figureRows * scale - 1 ? unitText(view, lost) : '';
    const fact = facts[row - (height - facts.length)] ?? [];
    const line: Line = [
      span(padTo(`  ${big[row] ?? ''}`, figureWidth), style),
      span(padTo(unitHere, unitWidth(width)), lost ? 'warn' : 'bold'),
      ...fact,
    ];
    const left = time[row - (height - time.length)];
    lines.push(left === undefined ? line : spread(line, [span(left, 'accent'), span('  ')], width));
  }
  if (facts.length === 0 && view.state.phase.name !== 'done') lines.push([span(` ${limitsText(view)}`, 'dim')]);
  return lines;
}

/** The pressure on one line, for a screen too small for big figures. */
function smallFigure(view: BenchView, width: number): Line {
  const { reading, silentS, system } = view;
  const gone = reading?.pressurePa == null || silentS === null || silentS > 2;
  const text = gone
    ? '---'
    : formatIn(reading.pressurePa, 'pressure', system.pressure, pressureDecimals(system.pressure));
  const unit = unitText(view, isLost(view));
  return cutLine([span(`   ${text} ${unit}`, gone ? 'warn' : view.state.alarms.length > 0 ? 'bad' : 'bold')], width);
}

/** No pressure to go by: none has come for a while, or the gauge gives none. */
const isLost = ({ reading, silentS }: BenchView): boolean =>
  reading?.pressurePa == null || silentS === null || silentS > 2;

/** Until the gauge is back nothing on this screen says what the pressure is. */
const goneText =
  'The cylinder may still be under pressure. No reading: open nothing. Look at the dial of the bench; check cable and power of the gauge.';

const unitWidth = (width: number): number => (width < 80 ? 11 : 14);
/** From so many columns on the facts stand beside the pressure; below it target and limit stand under it. */
const leastBeside = 58;
/** Columns that the facts beside the pressure take. */
const factWidth = 38;

/** Time left (or, while the dwell waits for the inspection, over) in big figures; nothing where there is no room. */
function bigTime(view: BenchView, room: number, scale: number): string[] {
  const { inPhaseS, ofS, clock: of } = progressOf(view.plan, view.state);
  if (inPhaseS === null || ofS === null || of === null) return [];
  const figures = clock(Math.ceil(Math.abs(ofS - inPhaseS)));
  const fitting = scale > 1 && bigWidth(figures, scale) > room ? 1 : scale;
  if (bigWidth(figures, fitting) + 2 > room) return [];
  const big = bigFigures(figures, fitting);
  return [(inPhaseS > ofS ? 'over' : 'left').padStart(bigWidth(figures, fitting)), ...big].slice(
    scale > fitting ? 0 : 1,
  );
}

function unitText({ reading, silentS, system }: BenchView, lost: boolean): string {
  const unit = system.pressure;
  if (!lost) return unit;
  if (silentS === null) return 'no reading';
  if (silentS <= 2) return 'no value';
  return reading?.pressurePa == null ? `${Math.floor(silentS)} s old` : `gone ${Math.floor(silentS)} s`;
}

/** The one thing to do now, on a ground of its own: after the pressure the first thing that is seen. */
function promptPart(view: BenchView, width: number, blanks: 0 | 1 | 2): Line[] {
  const gone = view.mode === 'bench' && view.silentS !== null && view.silentS > 2 && view.state.phase.name !== 'done';
  const text = gone ? goneText : spell(promptFor(view.plan, view.state).text, view.system);
  const [mark, style] = view.mode === 'bench' ? ([' ▶ ', 'ask'] as const) : (['   ', 'bold'] as const);
  const shown = wrapText(text, width - 4).map(
    (line, index): Line => [span(padTo(`${index === 0 ? mark : '   '}${line}`, width), style)],
  );
  while (width >= 60 && shown.length < 2) shown.push([]);
  return [...(blanks > 0 ? [[]] : []), ...shown, ...(blanks > 1 ? [[]] : [])];
}

const eventText = (view: BenchView, text: string, width: number): string[] =>
  wrapText(harmless(spell(text, view.system)), width - 12);

/** Lines of the newest event: it is never cut short, whatever gives way for it. */
function newestLines(view: BenchView, width: number): number {
  const newest = view.events.at(-1);
  return newest ? eventText(view, newest.text, width).length : 0;
}

/** The last events, each in full; those that find no room any more are the oldest. */
function eventPart(view: BenchView, width: number, rows: number): Line[] {
  const lines: Line[] = [];
  for (const event of view.events.toReversed()) {
    const style = event.grade === 'note' ? 'dim' : event.grade === 'warn' ? 'warn' : 'bad';
    const texts = eventText(view, event.text, width);
    if (lines.length > 0 && lines.length + texts.length > rows) break;
    const time = clock(event.timeUs / 1e6).padStart(8);
    const shown = texts.map(
      (text, index): Line => [span(index === 0 ? `${time}  ` : ' '.repeat(10), 'dim'), span(text, style)],
    );
    lines.unshift(...shown);
  }
  while (lines.length < rows) lines.unshift([]);
  return lines.slice(0, rows);
}

/** Alarms stay here until somebody says that he has seen them: the newest in full, how many stand before it. */
function alarmPart(view: BenchView, width: number): Line[] {
  const { alarms } = view.state;
  const newest = alarms.at(-1);
  if (!newest) return [];
  const more = alarms.length > 1 ? ` (${alarms.length})` : '';
  const texts = wrapText(`ALARM${more}  ${harmless(spell(newest.text, view.system))}`, width - 2);
  return texts.map((text): Line => [span(padTo(` ${text}`, width), 'alarm')]);
}

/** Words that give way first where a line is too short for all keys; the keys themselves go on working. */
const firstToGo: readonly PromptKey[] = [
  'take-back',
  'oil',
  'force',
  'collected',
  'note',
  'end-dwell',
  'repeat',
  'observation',
];

/** The keys that mean something now. */
function keyLine(view: BenchView, width: number): Line {
  if (view.mode === 'watch') return [span(' q', 'bold'), span(' leave; the test goes on without you', 'dim')];
  const { keys } = promptFor(view.plan, view.state);
  const mute: Line = [
    ...[span('? ', 'bold'), span(width < 48 ? '' : 'keys  ', 'dim')],
    ...(width < 60 ? [] : [span('m ', 'bold'), span(view.bell ? 'mute ' : 'sound ', 'dim')]),
  ];
  let shown = keys.map((act) => ({ act, line: keyWords(view, act) }));
  const tooWide = (): boolean => shown.reduce((sum, { line }) => sum + lineWidth(line), lineWidth(mute) + 1) > width;
  const asked = keys[0];
  for (const act of firstToGo) if (tooWide() && act !== asked) shown = shown.filter((one) => one.act !== act);
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
