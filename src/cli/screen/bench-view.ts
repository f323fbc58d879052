import type { RunNews } from '../../bench/index.js';
import type { EarlyWord, StageResult, StrokeResult, TestResult } from '../../evaluation/index.js';
import type { Reading } from '../../gauge/index.js';
import type { HoldEvent, HoldState, Phase } from '../../holdtest/index.js';
import type { TestPlan } from '../../procedure/index.js';
import type { TestHeader } from '../../record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { louder, type Sound } from './sounds.js';
import { TraceSketch } from './trace-sketch.js';

/** Everything that the bench screen shows, whoever fills it: a live test, one that is watched, one replayed. */
export interface BenchView {
  readonly header: Pick<TestHeader, 'test' | 'customer' | 'cylinder' | 'technician' | 'origin'>;
  readonly plan: TestPlan;
  readonly system: UnitSystem;
  readonly state: HoldState;
  readonly early: EarlyWord | null;
  /** Stages judged so far in the attempt under way. */
  readonly stages: readonly StageResult[];
  /** Slow strokes read so far in it. */
  readonly strokes: readonly StrokeResult[];
  readonly reading: Reading | null;
  /** Wall time since the newest reading, s; null before the first. */
  readonly silentS: number | null;
  /** The attempt so far. */
  readonly whole: TraceSketch;
  /** Since the shut-in, then since the dwell began. */
  readonly hold: TraceSketch;
  /** Newest last. */
  readonly events: readonly HoldEvent[];
  /** The outcome, once every port is done. */
  readonly result: TestResult | null;
  /** Who looks: a person at the bench, or somebody elsewhere, or later, who can touch nothing. */
  readonly mode: 'bench' | 'watch' | 'replay';
  /** True for a moment after an alarm or the end of a phase. */
  readonly flash: boolean;
  readonly bell: boolean;
}

const eventsKept = 60;

/** Remembers of a run what a screen shows. Fed with the news of every input; costs the same however long the test. */
export class BenchMemory {
  #whole = new TraceSketch();
  #hold = new TraceSketch();
  #events: HoldEvent[] = [];
  #reading: Reading | null = null;
  #readAtMs: number | null = null;
  #sound: Sound | null = null;

  take({ input, state, effects }: RunNews): void {
    for (const effect of effects) {
      if (effect.kind === 'attempt-began') {
        this.#whole = new TraceSketch();
        this.#hold = new TraceSketch();
      }
      if (effect.kind === 'dwell-began') this.#hold = new TraceSketch();
      if (effect.kind === 'event') this.#event(effect.event, state.phase);
    }
    if (input.kind !== 'reading') return;
    this.#reading = input.reading;
    this.#readAtMs = performance.now();
    const { timeUs, pressurePa } = input.reading;
    if (pressurePa === null) return;
    this.#whole.add(timeUs, pressurePa);
    if (state.phase.name === 'stabilise' || state.phase.name === 'dwell') this.#hold.add(timeUs, pressurePa);
  }

  get shown(): Pick<BenchView, 'whole' | 'hold' | 'events' | 'reading' | 'silentS'> {
    return {
      whole: this.#whole,
      hold: this.#hold,
      events: this.#events,
      reading: this.#reading,
      silentS: this.#readAtMs === null ? null : (performance.now() - this.#readAtMs) / 1000,
    };
  }

  /** What has happened since the last call that is worth a sound. */
  heard(): Sound | null {
    const sound = this.#sound;
    this.#sound = null;
    return sound;
  }

  #event(event: HoldEvent, phase: Phase): void {
    if (event.code === 'target-reached') this.#hold = new TraceSketch();
    this.#events = [...this.#events.slice(1 - eventsKept), event];
    if (event.grade === 'alarm' || event.grade === 'void') this.#sound = louder(this.#sound, 'alarm');
    else if (event.code === 'bled-down' || (event.code === 'phase' && phase.name === 'dwell' && phase.timeDone))
      this.#sound = louder(this.#sound, 'done');
    else if (event.code === 'phase') this.#sound = louder(this.#sound, 'go on');
  }
}
