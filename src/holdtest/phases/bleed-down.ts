import type { PhaseNamed } from '../state.js';
import { endAttempt, portOf, report, setFacts, setPhase, type Turn } from '../turn.js';

type BleedDown = PhaseNamed<'bleed-down'>;

/** Seconds after which pressure that has not gone is mentioned as trapped. */
const patienceS = 60;

/** A mean that is lower than the one before by this share of the zero's tolerance is still on its way down. */
const comingShare = 0.1;

/**
 * Pressure must fall below its limit and stay there; a gauge at zero says nothing of oil behind a check valve. A mean
 * that is off the zero and still lower than the one before it is no zero yet: gauges that filter come down late.
 */
export function onBleedDown(turn: Turn, phase: BleedDown, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const { belowPa, forS } = port.bleedDown;
  if (pressurePa >= belowPa) {
    const waitedS = (turn.timeUs - phase.sinceUs) / 1e6;
    const warn = !phase.warned && waitedS > patienceS;
    if (warn)
      report(
        turn,
        'trapped-pressure',
        'warn',
        `Still {pressure:${pressurePa}} after {seconds:${waitedS}}: oil may be trapped behind a check valve or a pilot-operated check.`,
      );
    if (warn || phase.belowSinceUs !== null)
      setPhase(turn, {
        ...phase,
        belowSinceUs: null,
        zeroCount: 0,
        zeroMeanPa: 0,
        comingFromPa: null,
        warned: phase.warned || warn,
      });
    return;
  }
  const belowSinceUs = phase.belowSinceUs ?? turn.timeUs;
  const zeroCount = phase.zeroCount + 1;
  const zeroMeanPa = phase.zeroMeanPa + (pressurePa - phase.zeroMeanPa) / zeroCount;
  const taking = { ...phase, belowSinceUs, zeroCount, zeroMeanPa };
  setPhase(turn, taking);
  if ((turn.timeUs - belowSinceUs) / 1e6 < forS) return;
  const { zeroBeforePa } = turn.state.facts;
  const shift = zeroBeforePa === null ? 0 : zeroMeanPa - zeroBeforePa;
  const zeroKept = Math.abs(shift) <= port.zeroTolerancePa;
  setFacts(turn, { zeroAfterPa: Math.round(zeroMeanPa), zeroKept });
  const coming = phase.comingFromPa === null || phase.comingFromPa - zeroMeanPa > comingShare * port.zeroTolerancePa;
  if (!zeroKept && shift > 0 && coming) {
    setPhase(turn, { ...taking, belowSinceUs: turn.timeUs, zeroCount: 0, zeroMeanPa: 0, comingFromPa: zeroMeanPa });
    return;
  }
  if (!zeroKept)
    report(
      turn,
      'zero-after',
      'warn',
      `The gauge reads {difference:${shift}} from its zero before the test: it drifted, or oil is still shut in.`,
    );
  report(
    turn,
    'bled-down',
    'note',
    'The gauge has stayed below its limit. Oil trapped behind a check valve does not show on it: open the line where it can come out before any fitting is loosened.',
  );
  endAttempt(turn);
}
