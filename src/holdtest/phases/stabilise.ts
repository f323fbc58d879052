import type { PortPlan, StagePlan } from '../../procedure/index.js';
import { halfRates, isFull, ratePaPerS, readingsIn, slide } from '../rate-window.js';
import type { Phase, PhaseNamed } from '../state.js';
import { strokesBeforeDwell } from '../strokes/watch-strokes.js';
import {
  endStage,
  enter,
  freshRamp,
  gaugeOf,
  portOf,
  report,
  setFacts,
  setPhase,
  stageOf,
  type Turn,
} from '../turn.js';

type Stabilise = PhaseNamed<'stabilise'>;

/** Shut in and settling: the dwell may start once the rate of change has stayed small for its time. */
export function onStabilise(turn: Turn, before: Stabilise, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf(turn.plan, turn.state);
  if (!port || !stage) return;
  const phase: Stabilise = { ...before, window: slide(before.window, turn.timeUs, pressurePa) };
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
    enter(
      turn,
      { ...freshRamp(turn.timeUs, pressurePa), peakPa: stage.targetPa },
      'The pressure was lost while settling.',
    );
    return;
  }
  const inBand = pressurePa >= stage.targetPa - stage.belowPa && pressurePa <= stage.targetPa + stage.abovePa;
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
  if (rate !== null && inBand && isQuiet(turn, phase, stage.stabilise.ratePaPerS)) {
    beginDwell(turn, phase, pressurePa, false);
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

/** Starts the dwell; `forced` when a person said so before the pressure had settled. */
export function beginDwell(turn: Turn, from: Stabilise | null, pressurePa: number, forced: boolean): void {
  const stage = stageOf(turn.plan, turn.state);
  if (!stage) return;
  strokesBeforeDwell(turn);
  setFacts(turn, { inspected: false });
  turn.effects.push({
    kind: 'dwell-began',
    stageIndex: turn.state.stageIndex,
    startUs: turn.timeUs,
    rampS: from?.rampS ?? 0,
    rampFromPa: from?.rampFromPa ?? 0,
  });
  turn.state = { ...turn.state, signal: { ...turn.state.signal, seconds: [], open: null } };
  const dwell: Phase = {
    name: 'dwell',
    startUs: turn.timeUs,
    startPa: pressurePa,
    forced,
    timeDone: false,
    risenPa: 0,
    fall: null,
  };
  enter(
    turn,
    dwell,
    `Dwell of {seconds:${stage.dwellS}} begins at {pressure:${pressurePa}}. Touch no valve; look for oil.`,
  );
}
