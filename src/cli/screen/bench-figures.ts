import { type EarlyWord, governingLimit } from '../../evaluation/index.js';
import { type AttemptFacts, isExternalLeak, progressOf } from '../../holdtest/index.js';
import { type CollectedDemand, collectedAmount } from '../../procedure/index.js';
import { spell, spellDuration } from '../../units/index.js';
import type { BenchView } from './bench-view.js';
import { cut, type Line, type Style, span } from './frame.js';
import { verdictStyle } from './verdict-part.js';

/** What the pressure is held against, a line each: target, band, limit, rate, other port, oil. None is cut: what has no room is left out. */
export function factLines(view: BenchView, width: number): Line[] {
  const { plan, state, reading, early, system } = view;
  const { port, stage, ratePaPerS } = progressOf(plan, state);
  const facts: [string, string][] = [];
  if (reading?.pressurePa != null && view.silentS !== null && view.silentS > 2)
    facts.push(['last seen', `{pressure:${reading.pressurePa}}`]);
  if (stage) {
    facts.push(['target', `{pressure:${stage.targetPa}}`]);
    facts.push([
      'band',
      `{pressure:${stage.targetPa - stage.belowPa}} to {pressure:${stage.targetPa + stage.abovePa}}`,
    ]);
  }
  if (port) facts.push(['never above', `{pressure:${port.overpressurePa}}`]);
  if (port?.collected) facts.push(['collected', collectedFact(port.collected, state.facts.collected)]);
  if (port && state.phase.name === 'ready' && state.phase.zeroCount > 0)
    facts.push(['zero', `{difference:${state.phase.zeroMeanPa}} of ± {difference:${port.zeroTolerancePa}}`]);
  const rate = early?.ratePaPerS == null ? ratePaPerS : -early.ratePaPerS;
  if (rate !== null) facts.push(['rate', rateText(rate, rateLimit(view), view)]);
  if (reading?.oppositePa != null) facts.push(['other port', `{pressure:${reading.oppositePa}}`]);
  if (reading?.oilK != null) facts.push(['oil', `{temperature:${reading.oilK}}`]);
  const spelled = facts.map(([name, text]) => [name, spell(text, system)] as const);
  const wide = spelled.every(([, text]) => text.length + 13 <= width);
  return spelled
    .filter(([name, text]) => wide || name.length + 1 + text.length <= width)
    .map(([name, text]) => [span(wide ? `${name.padStart(11)}  ` : `${name} `, 'dim'), span(text)]);
}

/** Target and limit on one line, where there is no room beside the figures. */
export function limitsText({ plan, state, system }: BenchView): string {
  const { port, stage } = progressOf(plan, state);
  const target = stage ? `target {pressure:${stage.targetPa}}, ` : '';
  return port ? spell(`${target}never above {pressure:${port.overpressurePa}}`, system) : '';
}

/** What the cup may hold and, once it is written down, what it held. */
function collectedFact(demand: CollectedDemand, caught: AttemptFacts['collected']): string {
  const most = `${demand.lessThan ? '' : 'at most '}${collectedAmount(demand)}`;
  return caught ? `{volume:${caught.volumeM3}} in {seconds:${caught.overS}}, ${most}` : most;
}

/** A rate, and what it may be: the unit once, because the line is short. */
function rateText(rate: number, limit: number | null, { system }: BenchView): string {
  if (limit === null) return `{rate:${rate}}`;
  const [figure] = spell(`{rate:${rate}}`, system).split('\u00a0');
  return `${figure} of {rate:${limit}}`;
}

function rateLimit({ plan, state }: BenchView): number | null {
  const { stage, phase } = progressOf(plan, state);
  if (!stage) return null;
  if (phase === 'ramp') return stage.rampMaxPaPerS;
  return phase === 'stabilise' ? stage.stabilise.ratePaPerS : null;
}

const barWidth = 30;

/** Time left, as a bar and in words. */
export function clockLine(view: BenchView, width: number): Line {
  const { inPhaseS, ofS, clock: of } = progressOf(view.plan, view.state);
  if (inPhaseS === null) return [];
  if (ofS === null || of === null) return [span(`   ${spellDuration(Math.max(0, inPhaseS))} in this phase`, 'dim')];
  const share = Math.min(1, Math.max(0, inPhaseS / ofS));
  const cells = width < 60 ? 0 : Math.min(barWidth, Math.max(8, width - 50));
  const full = Math.floor(share * cells);
  const over = inPhaseS >= ofS;
  const left = spellDuration(Math.ceil(Math.max(0, ofS - inPhaseS)));
  const words = {
    dwell: over
      ? `${spellDuration(inPhaseS)}: the demanded ${spellDuration(ofS)} are over`
      : `${left} left of ${spellDuration(ofS)}`,
    'settle within': `${left} left to settle, of ${spellDuration(ofS)}`,
    'below limit': `down for ${spellDuration(Math.floor(inPhaseS))} of ${spellDuration(ofS)}`,
  }[of];
  return [
    span('   '),
    span('█'.repeat(full), over ? 'good' : 'accent'),
    span('░'.repeat(cells - full), 'dim'),
    span(cells === 0 ? words : `  ${words}`, over ? 'good' : 'bold'),
    ...(width < 80 ? [] : [span(clearIn(view), 'dim')]),
  ];
}

/** How long it may take until the verdict is clear, while it is not. */
function clearIn({ early }: BenchView): string {
  const wait = early?.secondsForClearVerdict ?? null;
  if (early?.word !== 'cannot tell yet' || wait === null || wait <= 0) return '';
  return `, clear in ${spellDuration(Math.ceil(wait))}`;
}

const wordStyle: Readonly<Record<EarlyWord['word'], Style>> = {
  'pass likely': 'good-band',
  'fail likely': 'bad-band',
  'cannot tell yet': 'warn-band',
  'certain to fail': 'bad-band',
  'judged by looking': 'warn-band',
  'cannot pass': 'warn-band',
};

/** The early word, and the running estimate of the drop over the whole dwell, with its band and what is allowed. */
export function estimateLine(view: BenchView, width: number): Line {
  const { early, state, stages } = view;
  if (!early) {
    const last = stages.at(-1);
    if (state.phase.name === 'ready' && view.strokes.length > 0) return [span(`   ${strokesText(view)}`, 'bold')];
    if (!last || state.phase.name === 'dwell') return [];
    return [span(`   ${last.name}: ${last.verdict}`, verdictStyle[last.verdict])];
  }
  // Oil outside fails the port whatever the pressure does.
  const outside = state.facts.observations.some(isExternalLeak);
  const word = outside ? ' OIL OUTSIDE: FAILS ' : ` ${early.word.toUpperCase()} `;
  const room = width - 3 - word.length - 2;
  const because = early.because === undefined || outside ? undefined : spell(early.because, view.system);
  const text =
    because === undefined ? (estimateTexts(view, early).find((one) => one.length <= room) ?? '') : cut(because, room);
  return [span('   '), span(word, outside ? 'bad-band' : wordStyle[early.word]), span(`  ${text}`, 'bold')];
}

/** The newest slow strokes, as many as a line of 80 holds: at what the piston broke away, and at what it ran. */
function strokesText({ strokes, system }: BenchView): string {
  const figure = (pa: number | null): string =>
    pa === null ? '–' : (spell(`{difference:${pa}}`, system).split('\u00a0')[0] ?? '');
  const each = strokes
    .slice(-3)
    .map(({ number, breakAwayPa, runningPa }) => `${number}: ${figure(breakAwayPa)}, ${figure(runningPa)}`);
  return `stroke broke away, ran (${system.pressure})  ${each.join('   ')}`;
}

/** The running estimate, the longest text first. */
function estimateTexts(view: BenchView, { dropPa, bandPa }: EarlyWord): string[] {
  if (dropPa === null || bandPa === null) return ['estimate comes with the readings'];
  const both = spell(`{difference:${dropPa}} ± {difference:${bandPa}}`, view.system);
  // The unit once, at the end: the line is short.
  const figures = both.split(' ± ').map((figure) => figure.split('\u00a0')[0]);
  const allowed = allowedHere(view);
  const of = allowed === null ? '' : ` of ${spell(`{difference:${allowed}}`, view.system)}`;
  const what = view.reading?.oilK == null ? 'drop' : 'drop less heat';
  const figure = figures.join(' ± ');
  const short = `${figure}${of}`;
  return [`${what} ${short}${allowed === null ? '' : ' allowed'}`, `${what} ${short}`, short, figure];
}

/** The drop that the dwell under way is allowed, Pa; null outside a dwell. */
export function allowedHere({ plan, state }: BenchView): number | null {
  const { port, stage } = progressOf(plan, state);
  if (!port || !stage || state.phase.name !== 'dwell') return null;
  return governingLimit(stage.allowed, state.phase.startPa, stage.dwellS, port.trapped)?.allowedDropPa ?? null;
}

/** Hours, minutes, seconds since the gauge was opened: `1:02:03`, `2:03`. */
export function clock(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n: number) => String(n).padStart(2, '0');
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}
