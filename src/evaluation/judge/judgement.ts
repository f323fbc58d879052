import type { ReadingColumns } from '../../gauge/index.js';
import {
  type AttemptFacts,
  asLevel,
  asLevels,
  beginHold,
  correctionsOf,
  type HoldEffect,
  type HoldEvent,
  type HoldInput,
  type HoldInputs,
  type HoldState,
  portOf,
  quietDwell,
  type StageOutcome,
  step,
} from '../../holdtest/index.js';
import { gaugeAt, type PortPlan, type StagePlan, type TestPlan } from '../../procedure/index.js';
import type { DwellContext, EarlyWord } from '../context.js';
import { RiseHistory } from '../course/explanations.js';
import { type Dwell, stageNotReached, startDwell } from '../dwell.js';
import type { PortResult, StageResult, TestResult } from '../result.js';
import { checkStiffness } from '../stiffness/check-stiffness.js';
import { StiffnessWatch } from '../stiffness/rise-watch.js';
import type { StrokeResult } from '../strokes/break-away.js';
import { StrokeWatch } from '../strokes/read-stroke.js';
import { evaluationVersion } from '../version.js';
import { portResult, testVerdict, untestedPort, whyNoPass } from './verdicts.js';

/** The result of a stage from how it ended. */
export function judgeStage(
  context: DwellContext,
  dwell: Dwell | null,
  endUs: number,
  outcome: StageOutcome,
): StageResult {
  switch (outcome.kind) {
    case 'no dwell':
      return stageNotReached(context, outcome.verdict, outcome.reason);
    case 'voided':
      return (
        dwell?.finish({ ...outcome, endUs, cutShort: true, voided: outcome.reason }) ??
        stageNotReached(context, 'invalid', outcome.reason)
      );
    case 'cut short': {
      const judged = dwell?.finish({ endUs, cutShort: true, voided: null });
      if (!judged) return stageNotReached(context, 'inconclusive', outcome.reason);
      if (judged.verdict === 'fail') return { ...judged, reason: `${judged.reason} (${outcome.reason})` };
      const verdict = judged.verdict === 'pass' ? 'inconclusive' : judged.verdict;
      return { ...judged, verdict, reason: `${outcome.reason}: a shorter hold can't pass` };
    }
    case 'full': {
      const { suddenFalls, tail } = outcome;
      const judged = dwell?.finish({ endUs, cutShort: false, voided: null, suddenFalls, tail });
      if (!judged) return stageNotReached(context, 'inconclusive', 'no dwell was recorded');
      if (!outcome.forced || judged.verdict !== 'pass') return judged;
      const reason = `the dwell was forced before the pressure had settled, so it can't pass; ${judged.reason}`;
      return { ...judged, verdict: 'inconclusive', reason };
    }
    default:
      return outcome satisfies never;
  }
}

/** What a judgement must know beside the plan. */
export interface JudgementOptions {
  /** The bench's own leak against plugged lines, m3/s, when a check is at hand. */
  readonly benchCheckLeakM3PerS?: number | null;
}

/**
 * A hold test being judged: the phases and the evaluation of each dwell, fed with one input after another. The live
 * test, an import and a replay all go through here, so that a verdict is computed one way only.
 */
export class Judgement {
  readonly #plan: TestPlan;
  readonly #benchLeak: number | null;
  #state: HoldState;
  #dwell: Dwell | null = null;
  #open: OpenAttempt;
  /** The newest early word, and what it was made of. */
  #early: {
    readonly said: EarlyWord;
    readonly facts: AttemptFacts;
    readonly phase: string;
    readonly word: EarlyWord;
  } | null = null;
  readonly #attempts: PortResult[] = [];

  constructor(plan: TestPlan, options: JudgementOptions = {}) {
    this.#plan = plan;
    this.#benchLeak = options.benchCheckLeakM3PerS ?? null;
    this.#state = beginHold(plan.ports.length);
    this.#open = this.#freshAttempt();
  }

  /** Where the phases stand. */
  get state(): HoldState {
    return this.#state;
  }

  /** One input on. Returns what the phases had to say to it. */
  add(input: HoldInput): readonly HoldEffect[] {
    const before = this.#state;
    if (input.kind === 'reading') {
      const level = asLevel(this.#plan, portOf(this.#plan, before), input.reading);
      this.#open.stiffness.add(before.phase, level);
      this.#open.strokes.add(level, before);
      const { timeUs, pressurePa } = input.reading;
      if (before.phase.name !== 'dwell' && pressurePa !== null) this.#open.rises.add(timeUs, pressurePa);
    }
    const { state, effects } = step(this.#plan, before, input);
    this.#state = state;
    if (state.phase.name === 'stabilise' && before.phase.name !== 'stabilise') {
      if (before.phase.name === 'dwell') this.#keepProven(state.phase.sinceUs, effects);
      this.#shutIn(state.phase.sinceUs, state);
    }
    for (const effect of effects) this.#take(effect, before);
    const held = state.phase.name === 'dwell' || state.phase.name === 'stabilise';
    if (input.kind === 'reading' && held) {
      const { timeUs, pressurePa, oilK, flags } = input.reading;
      this.#dwell?.add(timeUs, pressurePa, oilK, flags);
    }
    return effects;
  }

  /** Readings on, one after another: what {@link add} makes of each in turn, quicker, and telling nothing. */
  addReadings(readings: ReadingColumns): void {
    let port = portOf(this.#plan, this.#state);
    let levels = asLevels(this.#plan, port, readings);
    for (let at = 0; at < readings.length; at += 1) {
      const { state, until } = quietDwell(this.#plan, this.#state, levels, at);
      if (until > at) {
        this.#state = state;
        this.#open.stiffness.addHeld(levels, at, until);
        this.#dwell?.addColumns(readings, at, until);
        at = until;
      }
      if (at === readings.length) return;
      this.add({ kind: 'reading', reading: readings.reading(at) });
      const now = portOf(this.#plan, this.#state);
      if (now !== port) [port, levels] = [now, asLevels(this.#plan, now, readings)];
    }
  }

  /** The running estimate of the hold under way; null while nothing is shut in. */
  early(): EarlyWord | null {
    const { phase, signal } = this.#state;
    if (!this.#dwell || signal.lastUs === null || (phase.name !== 'dwell' && phase.name !== 'stabilise')) return null;
    const said = this.#dwell.early(signal.lastUs);
    // The estimate is made anew once a second; what is known beside it is asked as seldom.
    if (this.#early?.said !== said || this.#early.facts !== this.#state.facts || this.#early.phase !== phase.name)
      this.#early = { said, facts: this.#state.facts, phase: phase.name, word: this.#knownBeside(said) };
    return this.#early.word;
  }

  /** The running estimate, or that the attempt can't pass any more whatever it says. */
  #knownBeside(said: EarlyWord): EarlyWord {
    const port = portOf(this.#plan, this.#state);
    if (!port || this.#state.phase.name !== 'dwell' || said.word === 'certain to fail' || said.word === 'fail likely')
      return said;
    const { facts } = this.#state;
    const because = whyNoPass(port, facts, checkStiffness(port, this.#open.stiffness.seen(), facts));
    return because === null ? said : { ...said, word: 'cannot pass', because };
  }

  /** Stages judged so far in the attempt under way. */
  get stages(): readonly StageResult[] {
    return this.#open.stages;
  }

  /** The outcome of all ports as far as the inputs went. */
  result(): TestResult {
    const ports = this.#plan.ports.map((port) => {
      const attempts = this.#attempts.filter((attempt) => attempt.port === port.port);
      const last = attempts.at(-1);
      return last ? { ...last, earlierAttempts: attempts.slice(0, -1) } : untestedPort(port);
    });
    return { evaluationVersion, verdict: testVerdict(ports), ports };
  }

  /** Slow strokes read so far in the attempt under way. */
  get strokes(): readonly StrokeResult[] {
    return this.#open.strokes.strokes;
  }

  #context(stageIndex: number, state: HoldState): DwellContext | null {
    const port = portOf(this.#plan, state);
    const stage = port?.stages[stageIndex];
    if (!port || !stage) return null;
    return {
      stage,
      port,
      gauge: gaugeAt(this.#plan, port),
      corrections: correctionsOf(this.#plan, gaugeAt(this.#plan, port)),
      unmeasuredTemperatureK: this.#plan.unmeasuredTemperatureK,
      boundBy: this.#plan.boundBy ?? 'procedure',
      benchCheckLeakM3PerS: this.#benchLeak,
      previousStages: [...this.#sameStage(port, stage), ...this.#open.stages],
      dropsPerMl: this.#plan.dropsPerMl,
    };
  }

  /** The stage as earlier attempts at this port found it: a leak has the same rate each time, heat and creep less. */
  #sameStage(port: PortPlan, stage: StagePlan): readonly StageResult[] {
    const earlier = this.#attempts.filter((attempt) => attempt.port === port.port);
    return earlier.flatMap((attempt) => attempt.stages.filter(({ name }) => name === stage.name));
  }

  #take(effect: HoldEffect, before: HoldState): void {
    switch (effect.kind) {
      case 'attempt-began':
        return;
      case 'event':
        this.#open.events.push(effect.event);
        return;
      case 'oil-temperature':
        this.#open.typedOil.push({ timeUs: effect.timeUs, oilK: effect.oilK });
        this.#dwell?.typedOil(effect.timeUs, effect.oilK);
        return;
      case 'oil-temperature-taken-back':
        this.#open.typedOil = this.#open.typedOil.filter(({ timeUs }) => timeUs !== effect.timeUs);
        this.#dwell?.typedOilTakenBack(effect.timeUs);
        return;
      case 'stroke-seen': {
        const port = portOf(this.#plan, before);
        if (port) this.#open.strokes.seen(effect.stroke, effect.number, port.port, gaugeAt(this.#plan, port));
        return;
      }
      case 'shut-in':
        this.#shutIn(effect.timeUs, before);
        return;
      case 'dwell-began':
        return;
      case 'stage-ended': {
        const context = this.#context(effect.stageIndex, before);
        const { proven } = this.#open;
        const stage = context && judgeStage(context, this.#dwell, effect.endUs, effect.outcome);
        if (stage) this.#open.stages.push(proven && stage.verdict !== 'fail' ? proven : stage);
        this.#open.proven = null;
        this.#dwell = null;
        return;
      }
      case 'attempt-ended':
        this.#endAttempt(effect.facts, before);
        return;
      default:
        effect satisfies never;
    }
  }

  /** A hold may begin here: its trace is taken from now on, and what went before tells of its heat. */
  #shutIn(timeUs: number, state: HoldState): void {
    const context = this.#context(state.stageIndex, state);
    if (!context) return;
    this.#dwell = startDwell({ ...context, rises: this.#open.rises.until(timeUs) });
    const typed = this.#open.typedOil.at(-1);
    if (typed) this.#dwell.typedOil(typed.timeUs, typed.oilK);
  }

  /** A dwell was spoilt and another begins: a loss that was proven by then stays proven. */
  #keepProven(timeUs: number, effects: readonly HoldEffect[]): void {
    const mistrusted = effects.some((effect) => effect.kind === 'event' && effect.event.code === 'gauge-fault');
    if (mistrusted || this.#open.proven) return;
    const endUs = timeUs - beforeSpoiltUs;
    const loss = this.#dwell?.finish({ endUs, cutShort: true, voided: null, tail: 'none' });
    if (loss?.verdict !== 'fail') return;
    this.#open.proven = { ...loss, reason: `${loss.reason}; that another dwell followed does not undo it` };
  }

  #endAttempt(facts: AttemptFacts, before: HoldState): void {
    const port = portOf(this.#plan, before);
    if (!port) return;
    const { stages, events, strokes } = this.#open;
    const stiffness = checkStiffness(port, this.#open.stiffness.seen(), facts);
    this.#attempts.push(portResult(port, before.attempt, facts, stages, events, stiffness, strokes.strokes));
    this.#open = this.#freshAttempt();
  }

  #freshAttempt(): OpenAttempt {
    const gauge = gaugeAt(this.#plan, portOf(this.#plan, this.#state));
    const stiffness = new StiffnessWatch(gauge.resolutionPa);
    return {
      stages: [],
      events: [],
      stiffness,
      strokes: new StrokeWatch(),
      rises: new RiseHistory(),
      typedOil: [],
      proven: null,
    };
  }
}

/** Judges a whole test from its inputs: an import, a replay. */
export function judge(plan: TestPlan, inputs: HoldInputs, options: JudgementOptions = {}): TestResult {
  const judgement = new Judgement(plan, options);
  if (!inputs.stretches) for (const input of inputs) judgement.add(input);
  else
    for (const stretch of inputs.stretches())
      if ('input' in stretch) judgement.add(stretch.input);
      else judgement.addReadings(stretch.readings);
  return judgement.result();
}

/** A top-up is noticed within this long: what comes before it is the spoilt dwell's, us. */
const beforeSpoiltUs = 10_000_000;

interface OpenAttempt {
  readonly stages: StageResult[];
  readonly events: HoldEvent[];
  readonly stiffness: StiffnessWatch;
  readonly strokes: StrokeWatch;
  readonly rises: RiseHistory;
  typedOil: { readonly timeUs: number; readonly oilK: number }[];
  /** The loss that a spoilt dwell of the stage under way had proven. */
  proven: StageResult | null;
}
