import { HoldRun, judgementOf, recordFollower } from '../bench/index.js';
import { governingLimit } from '../evaluation/index.js';
import { phaseWord, progressOf, promptFor } from '../holdtest/index.js';
import type { Store, TestHeader } from '../record/index.js';
import { spell, type UnitSystem, unitSystems } from '../units/index.js';
import type { LiveNews } from './browser/news.js';

const pointsShown = 400;

/** Follows a running test in the record, and says what a big screen shows of it. */
export class LiveFeed {
  readonly #store: Store;
  readonly #header: TestHeader;
  readonly #system: UnitSystem;
  readonly #run: HoldRun;
  readonly #follow: () => void;
  #pressurePa: number | null = null;
  #trace: { timeUs: number; pressurePa: number }[] = [];
  #step = 1;
  #count = 0;

  constructor(store: Store, test: string, units: keyof typeof unitSystems) {
    this.#store = store;
    this.#header = store.test(test).header;
    this.#system = unitSystems[units];
    this.#run = new HoldRun(judgementOf(this.#header), null, ({ input, effects }) => {
      if (effects.some(({ kind }) => kind === 'attempt-began')) this.#clear();
      if (input.kind === 'reading') this.#read(input.reading.timeUs, input.reading.pressurePa);
    });
    this.#follow = recordFollower(store, test, this.#run);
  }

  /** Takes in what the record got since the last look. */
  look(): LiveNews {
    this.#follow();
    return this.#news();
  }

  #news(): LiveNews {
    const { plan } = this.#header;
    const { state, lastUs } = this.#run;
    const progress = progressOf(plan, state);
    const { result } = this.#store.test(this.#header.test);
    const [figure = '–', unit = ''] =
      this.#pressurePa === null ? [] : this.#spell(`{pressure:${this.#pressurePa}}`).split('\u00a0');
    const place = progress.port && progress.stage ? `Port ${progress.port.port}, ${progress.stage.name}: ` : '';
    return {
      sealed: result !== null,
      pressure: figure,
      unit,
      phase: result ? `Verdict: ${result.verdict}` : `${place}${phaseWord(state.phase.name)}`,
      left:
        result || progress.ofS === null || progress.inPhaseS === null
          ? ''
          : `${clock(progress.ofS - progress.inPhaseS)} left`,
      ask: result ? '' : this.#spell(promptFor(plan, state).text),
      alarm: state.alarms.map(({ text }) => this.#spell(text)).join(' '),
      facts: this.#facts(),
      target: progress.stage ? progress.stage.targetPa : null,
      points: this.#trace.map(({ timeUs, pressurePa }) => [timeUs / 1e6, pressurePa] as const),
      atS: lastUs / 1e6,
    };
  }

  #facts(): LiveNews['facts'] {
    const { port, stage } = progressOf(this.#header.plan, this.#run.state);
    const early = this.#run.early();
    const facts: [string, string][] = [];
    if (stage) facts.push(['target', `{pressure:${stage.targetPa}}`]);
    if (early?.dropPa != null && early.bandPa != null) {
      facts.push(['drop', `{difference:${early.dropPa}} ± {difference:${early.bandPa}}`]);
      const { phase } = this.#run.state;
      const limit =
        port && stage && phase.name === 'dwell'
          ? governingLimit(stage.allowed, phase.startPa, stage.dwellS, port.trapped)
          : null;
      if (limit) facts.push(['allowed', `{difference:${limit.allowedDropPa}}`]);
      facts.push(['so far', early.word]);
    }
    return facts.map(([label, text]) => ({ label, text: this.#spell(text) }));
  }

  #spell(text: string): string {
    return spell(text, this.#system);
  }

  #clear(): void {
    this.#trace = [];
    this.#step = 1;
    this.#count = 0;
  }

  /** Every n-th reading, n doubled whenever there are too many. */
  #read(timeUs: number, pressurePa: number | null): void {
    this.#pressurePa = pressurePa;
    if (pressurePa === null || this.#count++ % this.#step !== 0) return;
    this.#trace.push({ timeUs, pressurePa });
    if (this.#trace.length <= pointsShown) return;
    this.#trace = this.#trace.filter((_, index) => index % 2 === 0);
    this.#step *= 2;
  }
}

/** `9:27`; nothing is left below zero. */
function clock(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}
