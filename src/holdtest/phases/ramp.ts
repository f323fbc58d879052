import { ratePaPerS, slide } from '../rate-window.js';
import { freshReady, type PhaseNamed } from '../state.js';
import { confirmedBeforeStroke } from '../strokes/watch-strokes.js';
import { enter, freshStabilise, portOf, report, setPhase, stageOf, type Turn } from '../turn.js';

type Ramp = PhaseNamed<'ramp'>;

/** Booster strokes come in steps: a rate counts as too fast only this far over the limit, over two seconds. */
const rateMargin = 1.25;

/** Pressure on its way up: watches the rate, sees the change from pump to booster, and the target. */
export function onRamp(turn: Turn, before: Ramp, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  if (!port || !stage) return;
  const { timeUs } = turn;
  const window = slide(before.window, timeUs, pressurePa);
  const rate = ratePaPerS(window);
  let phase: Ramp = {
    ...before,
    window,
    peakPa: Math.max(before.peakPa, pressurePa),
  };
  setPhase(turn, phase);

  if (stage.voidAbovePa !== undefined && pressurePa > stage.voidAbovePa) {
    report(
      turn,
      'low-stage-void',
      'alarm',
      `{pressure:${pressurePa}} is over {pressure:${stage.voidAbovePa}}: this low-pressure stage starts again from zero.`,
    );
    setPhase(turn, freshReady);
    return;
  }
  if (rate !== null) {
    const tooFast = rate > stage.rampMaxPaPerS * rateMargin;
    if (tooFast && !phase.tooFast)
      report(
        turn,
        'ramp-too-fast',
        'warn',
        `Rising at {rate:${rate}}, faster than {rate:${stage.rampMaxPaPerS}}: the oil warms and will fall as it cools.`,
      );
    const resting = Math.abs(rate) < 0.002 * stage.targetPa && pressurePa < 0.95 * stage.targetPa;
    if (phase.paused && rate > 0.004 * stage.targetPa)
      report(turn, 'pump-to-booster', 'note', `Rising again after a pause at {pressure:${pressurePa}}.`);
    const paused = resting && pressurePa > 0.1 * stage.targetPa ? true : phase.paused && rate < 0.004 * stage.targetPa;
    phase = { ...phase, tooFast: tooFast || (phase.tooFast && rate > stage.rampMaxPaPerS), paused };
    setPhase(turn, phase);
  }
  if (pressurePa >= stage.targetPa - stage.belowPa) {
    report(turn, 'target-reached', 'note', `{pressure:${pressurePa}} reached.`);
    enter(
      turn,
      freshStabilise(timeUs, pressurePa, stage.stabilise.forS),
      'Shut the cylinder in; waiting for the pressure to settle.',
    );
    return;
  }
  watchRelease(turn, phase, pressurePa);
}

/** Pressure let go before any dwell: the stage begins again. */
function watchRelease(turn: Turn, phase: Ramp, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  if (!port || phase.peakPa < 2 * port.bleedDown.belowPa || pressurePa > port.bleedDown.belowPa) {
    if (phase.releasedSinceUs !== null) setPhase(turn, { ...phase, releasedSinceUs: null });
    return;
  }
  const since = phase.releasedSinceUs ?? turn.timeUs;
  if ((turn.timeUs - since) / 1e6 < port.bleedDown.forS) {
    setPhase(turn, { ...phase, releasedSinceUs: since });
    return;
  }
  const confirmed = confirmedBeforeStroke(turn, phase.sinceUs);
  if (confirmed !== null) return enter(turn, { ...freshReady, confirmed }, 'Back at zero after a stroke.');
  enter(
    turn,
    { ...freshReady, confirmed: true },
    'The pressure was let go before a dwell began; the stage starts again.',
  );
}
