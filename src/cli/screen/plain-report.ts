import type { RunNews } from '../../bench/index.js';
import type { EarlyWord } from '../../evaluation/index.js';
import { type HoldState, progressOf } from '../../holdtest/index.js';
import type { TestPlan } from '../../procedure/index.js';
import { formatQuantity, pressureDecimals, spell, spellDuration, type UnitSystem } from '../../units/index.js';

/** What a line tells of where the test stands. */
export interface Standing {
  readonly state: HoldState;
  readonly early: EarlyWord | null;
}

/** The news of one input as lines, one for each event: for a log, a pipe, a terminal that can do no more. */
export function eventLines(news: RunNews, system: UnitSystem): string[] {
  return news.effects.flatMap((effect) => {
    if (effect.kind !== 'event') return [];
    const { timeUs, port, phase, grade, text } = effect.event;
    const mark = grade === 'alarm' || grade === 'void' ? 'ALARM ' : grade === 'warn' ? 'warning: ' : '';
    const time = spellDuration(Math.max(0, timeUs) / 1e6).padStart(11);
    return [`${time}  port ${port}  ${phase.padEnd(10)}  ${mark}${spell(text, system)}`];
  });
}

/** One line on where the test stands: `port A  dwell  249.8 bar  2 min 10 s left  pass likely`. */
export function statusLine(plan: TestPlan, { state, early }: Standing, system: UnitSystem): string {
  const { port, stage, phase, ratePaPerS, inPhaseS, ofS, clock } = progressOf(plan, state);
  const pa = state.signal.lastPa;
  const parts = [
    port === null ? 'all ports' : `port ${port.port}${state.attempt > 1 ? `, attempt ${state.attempt}` : ''}`,
    stage === null ? phase : `${stage.name}, ${phase}`,
    pa === null ? 'no reading yet' : formatQuantity(pa, 'pressure', system.pressure, pressureDecimals(system.pressure)),
  ];
  const rate = early?.ratePaPerS == null ? ratePaPerS : -early.ratePaPerS;
  if (rate !== null) parts.push(spell(`{rate:${rate}}`, system));
  if (inPhaseS !== null && ofS !== null && clock !== null)
    parts.push(
      clock === 'below limit'
        ? `below the limit for ${spellDuration(inPhaseS)}`
        : `${spellDuration(Math.max(0, ofS - inPhaseS))} left`,
    );
  if (early) parts.push(early.word);
  return parts.join('  ');
}
