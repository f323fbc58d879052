import { HoldRun, judgementOf } from '../../../bench/index.js';
import type { TestPlan } from '../../../procedure/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { BenchMemory, type BenchView } from '../bench-view.js';
import { type Tape, timeOf } from './tape.js';

/** Speeds that + and - step through, times real time. */
export const speeds: readonly number[] = [0.25, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

/** One judgement of the tape, as far as it has run. */
interface Run {
  readonly plan: TestPlan;
  readonly hold: HoldRun;
  readonly memory: BenchMemory;
}

/**
 * A stored test under way again: at a speed, standing still, or set to any of its moments. Judges it by its own plan
 * and, where one is given, by another beside it; the second never touches the first. Knows no clock: {@link advance}
 * is told how much time has passed.
 */
export class Player {
  readonly tape: Tape;
  readonly #other: TestPlan | null;
  #run: Run;
  #beside: Run | null = null;
  /** Inputs that have been run through. */
  #fed = 0;
  #atUs: number;
  #speed: number;
  #paused = false;

  constructor(tape: Tape, options: { readonly speed: number; readonly other?: TestPlan | null }) {
    this.tape = tape;
    this.#other = options.other ?? null;
    this.#speed = options.speed;
    this.#atUs = tape.startUs;
    this.#run = this.#rewind();
  }

  get speed(): number {
    return this.#speed;
  }

  get paused(): boolean {
    return this.#paused;
  }

  get atEnd(): boolean {
    return this.#fed >= this.tape.inputs.length;
  }

  /** Seconds since the test began, and of how many. */
  get at(): { readonly s: number; readonly ofS: number } {
    const { startUs, endUs } = this.tape;
    return { s: (this.#atUs - startUs) / 1e6, ofS: (endUs - startUs) / 1e6 };
  }

  pause(paused: boolean = !this.#paused): void {
    this.#paused = paused;
    if (!paused && this.atEnd) this.toTime(0);
  }

  /** The next speed up (1) or down (-1) from whatever it is now. */
  changeSpeed(direction: 1 | -1): void {
    const next = direction > 0 ? speeds.find((one) => one > this.#speed) : speeds.findLast((one) => one < this.#speed);
    this.#speed = next ?? this.#speed;
  }

  /** Time has passed where somebody looks on, s. At the end it stands still. */
  advance(seconds: number): void {
    if (this.#paused) return;
    this.#atUs = Math.min(this.tape.endUs, this.#atUs + seconds * this.#speed * 1e6);
    this.#feedTo(this.#countTo(this.#atUs));
    if (this.atEnd) this.#paused = true;
  }

  /** To a time of the test, s since its beginning. */
  toTime(seconds: number): void {
    const { startUs, endUs } = this.tape;
    const us = Math.min(endUs, Math.max(startUs, startUs + seconds * 1e6));
    this.#to(this.#countTo(us, 0), us);
  }

  /** Just behind an input, so that what it brought is seen; stands still there. */
  toIndex(index: number): void {
    const input = this.tape.inputs[index];
    if (input) this.#to(index + 1, timeOf(input));
    this.#paused = true;
  }

  /** To the next event; to the end when there is none. */
  nextEvent(): void {
    this.toIndex(this.tape.marks.find(({ index }) => index >= this.#fed)?.index ?? this.tape.inputs.length - 1);
  }

  /** To the event before; to the beginning when there is none. */
  previousEvent(): void {
    const mark = this.tape.marks.findLast(({ index }) => index < this.#fed - 1);
    if (mark) this.toIndex(mark.index);
    else {
      this.toTime(0);
      this.#paused = true;
    }
  }

  /** What the screen at the bench showed at this moment. */
  view(system: UnitSystem): BenchView {
    return this.#viewOf(this.#run, system);
  }

  /** The same moment by the other procedure; null without one. */
  viewBeside(system: UnitSystem): BenchView | null {
    return this.#beside ? this.#viewOf(this.#beside, system) : null;
  }

  #viewOf({ plan, hold, memory }: Run, system: UnitSystem): BenchView {
    const { shown } = memory;
    const readUs = shown.reading?.timeUs;
    return {
      ...shown,
      silentS: readUs === undefined ? null : Math.max(0, (this.#atUs - readUs) / 1e6),
      header: this.tape.header,
      plan,
      system,
      state: hold.state,
      early: hold.early(),
      stages: hold.stages,
      strokes: hold.strokes,
      result: hold.state.phase.name === 'done' ? hold.result() : null,
      mode: 'replay',
      flash: false,
      bell: false,
    };
  }

  #to(count: number, us: number): void {
    if (count < this.#fed) this.#run = this.#rewind();
    this.#feedTo(count);
    this.#atUs = us;
  }

  /** How many inputs have come by a time, in their order. */
  #countTo(us: number, from: number = this.#fed): number {
    const { inputs } = this.tape;
    let count = from;
    for (let input = inputs[count]; input !== undefined && timeOf(input) <= us; input = inputs[count]) count += 1;
    return count;
  }

  #feedTo(count: number): void {
    for (; this.#fed < count; this.#fed++) {
      const input = this.tape.inputs[this.#fed];
      if (!input) return;
      this.#run.hold.feed(input);
      this.#beside?.hold.feed(input);
    }
  }

  #rewind(): Run {
    const { header } = this.tape;
    const begin = (plan: TestPlan): Run => {
      const memory = new BenchMemory();
      return { plan, memory, hold: new HoldRun(judgementOf({ ...header, plan }), null, (news) => memory.take(news)) };
    };
    this.#fed = 0;
    this.#beside = this.#other ? begin(this.#other) : null;
    return begin(header.plan);
  }
}
