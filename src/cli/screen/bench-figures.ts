import type { EarlyWord } from '../../evaluation/index.js';
import { progressOf } from '../../holdtest/index.js';
import { spell, spellDuration } from '../../units/index.js';
import type { BenchView } from './bench-view.js';
import { type Line, type Style, span } from './frame.js';

/** What the pressure is held against, a line each: target, band, limit, rate, other port, oil. */
export function factLines(view: BenchView): Line[] {
  const { plan, state, reading, early, system } = view;
  const { port, stage, ratePaPerS } = progressOf(plan, state);
  const facts: [string, string][] = [];
  if (stage) {
    facts.push(['target', `{pressure:${stage.targetPa}}`]);
    facts.push([
      'band',
      `{pressure:${stage.targetPa - stage.belowPa}} to {pressure:${stage.targetPa + stage.abovePa}}`,
    ]);
  }
  if (port) facts.push(['never above', `{pressure:${port.overpressurePa}}`]);
  if (port && state.phase.name === 'ready' && state.phase.zeroCount > 0)
    facts.push(['zero', `{difference:${state.phase.zeroMeanPa}} of ± {difference:${port.zeroTolerancePa}}`]);
  const rate = early?.ratePaPerS == null ? ratePaPerS : -early.ratePaPerS;
  if (rate !== null) facts.push(['rate', `{rate:${rate}}${rateLimit(view)}`]);
  if (reading?.oppositePa != null) facts.push(['other port', `{pressure:${reading.oppositePa}}`]);
  if (reading?.oilK != null) facts.push(['oil', `{temperature:${reading.oilK}}`]);
  return facts.map(([name, text]) => [span(`${name.padStart(11)}  `, 'dim'), span(spell(text, system))]);
}

function rateLimit({ plan, state }: BenchView): string {
  const { stage, phase } = progressOf(plan, state);
  if (!stage) return '';
  if (phase === 'ramp') return ` of {rate:${stage.rampMaxPaPerS}}`;
  return phase === 'stabilise' ? ` of {rate:${stage.stabilise.ratePaPerS}}` : '';
}

const barWidth = 30;

/** Time left, as a bar and in words. */
export function clockLine(view: BenchView, width: number): Line {
  const { inPhaseS, ofS, clock: of } = progressOf(view.plan, view.state);
  if (inPhaseS === null) return [];
  if (ofS === null || of === null) return [span(`   ${spellDuration(inPhaseS)} in this phase`, 'dim')];
  const share = Math.min(1, Math.max(0, inPhaseS / ofS));
  const cells = Math.min(barWidth, Math.max(8, width - 50));
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
    span(`  ${words}`, over ? 'good' : 'bold'),
  ];
}

const wordStyle: Readonly<Record<EarlyWord['word'], Style>> = {
  'pass likely': 'good',
  'cannot tell yet': 'warn',
  'certain to fail': 'bad',
};

/** The running estimate of the drop over the whole dwell, with its band, and the early word. */
export function estimateLine({ early, state, stages, system }: BenchView): Line {
  if (!early) {
    const last = stages.at(-1);
    if (!last || state.phase.name === 'dwell') return [];
    return [
      span(
        `   ${last.name}: ${last.verdict}`,
        last.verdict === 'pass' ? 'good' : last.verdict === 'fail' ? 'bad' : 'warn',
      ),
    ];
  }
  const figures =
    early.dropPa === null || early.bandPa === null
      ? 'estimate comes with the readings'
      : spell(`drop at this rate {difference:${early.dropPa}} ± {difference:${early.bandPa}}`, system);
  const wait = early.secondsForClearVerdict;
  const clear =
    early.word === 'cannot tell yet' && wait !== null && wait > 0 ? `, clear in ${spellDuration(Math.ceil(wait))}` : '';
  return [span(`   ${figures}   `), span(early.word.toUpperCase(), wordStyle[early.word]), span(clear, 'dim')];
}

/** Hours, minutes, seconds since the gauge was opened: `1:02:03`, `2:03`. */
export function clock(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n: number) => String(n).padStart(2, '0');
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}
