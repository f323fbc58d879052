import type { PortPlan, StagePlan } from '../../procedure/index.js';
import { beginEntries } from '../entries.js';
import { emptyWindow, halfRates, isFull, ratePaPerS, readingsIn, slide } from '../rate-window.js';
import { watchFrom, watchShutIn } from '../shut-in.js';
import type { Signal } from '../signal.js';
import type { Phase, PhaseNamed } from '../state.js';
import { strokesBeforeDwell } from '../strokes/watch-strokes.js';
import { endStage, enter, freshRamp, gaugeOf, portOf, report, setPhase, stageOf, type Turn } from '../turn.js';

type Stabilise = PhaseNamed<'stabilise'>;

/**
 * Shut in: the dwell counts from the last rise and begins once nothing has risen for the settling time; where the
 * procedure asks for the plain drop, once the rate of change has stayed small for that time.
 */
export function onStabilise(turn: Turn, before: Stabilise, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  if (!port || !stage) return;
  const { resolutionPa } = gaugeOf(turn);
  const shutIn =
    before.shutIn === null
      ? watchFrom(turn.timeUs, pressurePa)
      : watchShutIn(before.shutIn, turn.timeUs, pressurePa, { targetPa: stage.targetPa, resolutionPa });
  if (shutIn.sinceUs !== before.shutIn?.sinceUs) {
    turn.effects.push({ kind: 'shut-in', timeUs: shutIn.sinceUs });
    // The pump's own steps are no noise: what they taught would hide a top-up for a minute.
    turn.state = { ...turn.state, signal: { ...turn.state.signal, roughnessPa: 0, roughnessSteps: 0 } };
  }
  const pumped = before.shutIn !== null && shutIn.pumpedUs !== before.shutIn.pumpedUs;
  const window = slide(pumped ? emptyWindow(stage.stabilise.forS) : before.window, turn.timeUs, pressurePa);
  const phase: Stabilise = { ...before, window, shutIn, firstRate: pumped ? null : before.firstRate };
  setPhase(turn, phase);
  if (stage.voidAbovePa !== undefined && pressurePa > stage.voidAbovePa) {
    report(
      turn,
      'low-stage-void',
      'alarm',
      `{pressure:${pressurePa}} is over {pressure:${stage.voidAbovePa}}: bleed to zero, this low-pressure stage starts again.`,
    );
    enter(turn, freshRamp(turn.timeUs, 0), 'Bleed to zero and start the low-pressure stage again.');
    return;
  }
  if (pressurePa < 0.5 * stage.targetPa) {
    report(turn, 'pressure-lost', 'alarm', `The pressure fell to {pressure:${pressurePa}} before it had settled.`);
    if (phase.spoiled !== null) {
      endStage(turn, { kind: 'no dwell', verdict: 'inconclusive', reason: phase.spoiled });
      return;
    }
    enter(
      turn,
      { ...freshRamp(turn.timeUs, pressurePa), peakPa: stage.targetPa },
      'The pressure was lost while settling.',
    );
    return;
  }
  const inBand = within(stage, pressurePa);
  const outOfBand = !inBand && (phase.outOfBand || wellOutside(turn, pressurePa));
  if (outOfBand && !phase.outOfBand) {
    const high = pressurePa > stage.targetPa;
    report(
      turn,
      high ? 'above-target-band' : 'below-test-pressure',
      'warn',
      high
        ? `{pressure:${pressurePa}} is above the band: bleed back towards {pressure:${stage.targetPa}}.`
        : `{pressure:${pressurePa}} is below the band: top up to {pressure:${stage.targetPa}} and let it settle.`,
    );
  }
  if (outOfBand !== phase.outOfBand) setPhase(turn, { ...phase, outOfBand });

  const rate = isFull(phase.window) ? ratePaPerS(phase.window) : null;
  if (phase.firstRate === null && rate !== null && turn.state.phase.name === 'stabilise')
    setPhase(turn, { ...turn.state.phase, firstRate: rate });
  if (stage.judge !== 'plain drop') {
    const { startPa } = shutIn;
    const began = startPa !== null && within(stage, startPa);
    if (began && turn.timeUs - shutIn.sinceUs >= stage.stabilise.forS * 1e6) {
      beginDwell(turn, shutIn.sinceUs, startPa, false);
      return;
    }
  }
  const waited = stage.judge === 'plain drop' || turn.timeUs - shutIn.pumpedUs >= 2e6 * stage.stabilise.forS;
  if (rate !== null && inBand && waited && isQuiet(turn, phase, stage.stabilise.ratePaPerS)) {
    beginDwell(turn, turn.timeUs, pressurePa, false);
    return;
  }
  const waitedS = (turn.timeUs - phase.sinceUs) / 1e6;
  if (waitedS >= stage.stabilise.giveUpAfterS) {
    const reason = didNotSettle(
      { rate: rate ?? ratePaPerS(phase.window), firstRate: phase.firstRate, waitedS, inBand },
      port,
      stage,
    );
    report(turn, 'did-not-settle', 'warn', `${reason[0]?.toUpperCase()}${reason.slice(1)}`);
    endStage(turn, { kind: 'no dwell', verdict: 'inconclusive', reason });
  }
}

/**
 * The whole window within the limit, and each half of it too, but for what noise does to a rate: standard error
 * sigma sqrt(12/n)/T of a least-squares slope, three times; sigma from the steps between neighbouring readings. A gauge
 * too slow for three cells in half a window is taken by the whole.
 */
function isQuiet(turn: Turn, phase: Stabilise, limitPaPerS: number): boolean {
  const rate = ratePaPerS(phase.window);
  if (rate === null || Math.abs(rate) > limitPaPerS) return false;
  const sigmaPa = Math.max(0.886 * turn.state.signal.roughnessPa, gaugeOf(turn).resolutionPa / Math.sqrt(12));
  const halfS = phase.window.spanUs / 2e6;
  const margin = (3 * sigmaPa * Math.sqrt(12 / Math.max(3, readingsIn(phase.window) / 2))) / halfS;
  return halfRates(phase.window).every((half) => half === null || Math.abs(half) <= limitPaPerS + margin);
}

const within = ({ targetPa, belowPa, abovePa }: StagePlan, pressurePa: number): boolean =>
  pressurePa >= targetPa - belowPa && pressurePa <= targetPa + abovePa;

/** Nobody knows what the pressure did while the gauge was gone: it counts as shut in from the next reading at the earliest. */
export function breakSettling(turn: Turn): void {
  const { phase } = turn.state;
  if (phase.name === 'stabilise') setPhase(turn, { ...phase, shutIn: null });
}

/** Clear of the band by more than the noise. */
function wellOutside(turn: Turn, pressurePa: number): boolean {
  const stage = stageOf(turn.plan, turn.state);
  const margin = 4 * turn.state.signal.roughnessPa;
  return (
    !!stage &&
    (pressurePa < stage.targetPa - stage.belowPa - margin || pressurePa > stage.targetPa + stage.abovePa + margin)
  );
}

interface Unsettled {
  readonly rate: number | null;
  readonly firstRate: number | null;
  readonly waitedS: number;
  readonly inBand: boolean;
}

/** The last rate within this part of the first: the fall has not slowed down. */
const steadyShare = 0.8;

function didNotSettle({ rate, firstRate, waitedS, inBand }: Unsettled, port: PortPlan, stage: StagePlan): string {
  const limit = stage.stabilise.ratePaPerS;
  if (rate !== null && Math.abs(rate) <= limit && !inBand)
    return `did not settle: steady after {seconds:${waitedS}}, but outside the band round the target; top up or bleed back`;
  const speed = rate === null ? '' : `, still ${rate < 0 ? 'falling' : 'rising'} at {rate:${Math.abs(rate)}}`;
  const what = `did not settle in {seconds:${waitedS}}${speed} against {rate:${limit}} allowed`;
  if (rate !== null && rate > 0) return `${what}; it may be oil warming, or a valve that lets supply pressure past`;
  if (rate !== null && firstRate !== null && firstRate < 0 && rate <= steadyShare * firstRate) {
    const { volumeM3, bulkModulusPa } = port.trapped;
    return `${what}, and not slowing down: as from a leak of {flow:${(-rate * volumeM3) / bulkModulusPa}}; look for it before anything else`;
  }
  return `${what}; it may be trapped air, seals and hoses still creeping, oil cooling after a fast ramp, or a leak too large to settle`;
}

/**
 * Starts the dwell, which counts from a time up to now; `forced` when a person said so before the pressure had settled.
 */
export function beginDwell(turn: Turn, startUs: number, pressurePa: number, forced: boolean): void {
  const stage = stageOf(turn.plan, turn.state);
  if (!stage) return;
  strokesBeforeDwell(turn);
  beginEntries(turn);
  if (startUs === turn.timeUs) turn.effects.push({ kind: 'shut-in', timeUs: startUs });
  turn.effects.push({
    kind: 'dwell-began',
    stageIndex: turn.state.stageIndex,
    startUs,
  });
  turn.state = { ...turn.state, signal: since(turn.state.signal, startUs, turn.timeUs) };
  const dwell: Phase = {
    name: 'dwell',
    startUs,
    startPa: pressurePa,
    forced,
    timeDone: false,
    fall: null,
    suddenFalls: 0,
    spoiled: turn.state.phase.name === 'stabilise' ? turn.state.phase.spoiled : null,
  };
  enter(
    turn,
    dwell,
    `Dwell of {seconds:${stage.dwellS}} begins at {pressure:${pressurePa}}. Touch no valve; look for oil.`,
  );
}

/** A signal that remembers only the seconds after the last rise: a step just after the dwell began is told by them. */
function since(signal: Signal, startUs: number, nowUs: number): Signal {
  const secondUs = Math.max(1_000_000, signal.intervalUs ?? 0);
  // One is under way, and one may have begun before the rise was over.
  const whole = Math.floor((nowUs - startUs) / secondUs) - 2;
  if (whole < 1) return { ...signal, seconds: [], open: null, roughnessSteps: 0 };
  return { ...signal, seconds: signal.seconds.slice(-whole) };
}
