import type { LedgerLine, Store, TestLine } from '../../record/index.js';
import { keyDoubts, signatureDoubts } from './authority.js';
import { type CalibratedTest, calibratedTest, calibrationDoubts } from './calibration.js';
import { unlikeTheirGauge } from './gauge-habits.js';
import { certificateDoubts } from './papers.js';
import { type Credible, type Suspicion, suspicionKinds, usuallyCredible } from './suspicion.js';
import {
  clockSteps,
  crowdedShifts,
  impossibleTimes,
  neverSealed,
  overlaps,
  stepsWithin,
  type TestTimes,
} from './times.js';
import { pressuresOf, sketch } from './trace-sketch.js';
import { alikeTraces, repeatedStretches, type SketchedTest } from './traces.js';

export {
  type Credible,
  type Suspicion,
  type SuspicionKind,
  suspicionKinds,
  usuallyCredible,
} from './suspicion.js';

export interface SuspicionOptions {
  readonly credible?: Credible;
  readonly progress?: (done: number, of: number, test: string) => void;
  /** Told of a test that can't be read; without it the error goes on. */
  readonly unreadable?: (test: string, why: unknown) => void;
}

/**
 * Goes through a whole store for what doesn't look right, as such records have been forged: copied and patched traces,
 * frozen gauges, tests that could not have been run, signatures without authority. Simulated tests are left out of the
 * comparison of traces: the same seed gives the same noise.
 */
export function suspicions(store: Store, options: SuspicionOptions = {}): Suspicion[] {
  const credible = options.credible ?? usuallyCredible;
  const seen = new SeenTests(store);
  const sealed = store.tests({ order: 'oldest first' }).filter(({ verdict }) => verdict !== null);
  sealed.forEach((line, index) => {
    options.progress?.(index, sealed.length, line.test);
    try {
      seen.look(line);
    } catch (why) {
      if (!options.unreadable) throw why;
      options.unreadable(line.test, why);
    }
  });
  const found = [
    ...alikeTraces(seen.sketched, (test) => pressuresOf(store.inputs(test))),
    ...repeatedStretches(seen.sketched),
    ...unlikeTheirGauge(seen.sketched),
    ...overlaps(seen.times),
    ...crowdedShifts(seen.times, credible),
    ...impossibleTimes(seen.times),
    ...clockSteps(store.ledger()),
    ...neverSealed(store.acts('test started'), new Set(sealed.map(({ test }) => test)), newestTime(store)),
    ...calibrationDoubts(seen.calibrated, store.gauges()),
    ...seen.found,
    ...keyDoubts(store),
    ...certificateDoubts(store, credible),
  ];
  const order = Object.keys(suspicionKinds);
  return found.sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
}

/** What is kept of each test to hold them against each other. */
class SeenTests {
  readonly sketched: SketchedTest[] = [];
  readonly times: TestTimes[] = [];
  readonly calibrated: CalibratedTest[] = [];
  /** What a test shows by itself. */
  readonly found: Suspicion[] = [];
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  look({ test, gauge, technician, origin, signatures }: TestLine): void {
    const stored = this.#store.test(test);
    const { seal, acts, header } = stored;
    const started = acts.find(({ kind }) => kind === 'test started');
    if (origin !== 'simulated') {
      this.sketched.push({ test, gauge, sketch: sketch(pressuresOf(this.#store.inputs(test))) });
      this.calibrated.push(calibratedTest(header, started?.position ?? 0));
    }
    this.times.push({
      test,
      gauge,
      technician,
      startedMs: Date.parse(header.startedAt),
      lastedS: ((seal?.lastUs ?? 0) - (seal?.firstUs ?? 0)) / 1e6,
      live: origin === 'live',
      started,
      sealed: acts.find(({ kind }) => kind === 'test sealed'),
    });
    if (origin === 'live') this.found.push(...stepsWithin(test, this.#store.clockMarks(test)));
    if (signatures > 0) this.found.push(...signatureDoubts(this.#store, test, stored));
  }
}

function newestTime(store: Store): string {
  let newest: LedgerLine | undefined;
  for (const line of store.ledger()) newest = line;
  return newest?.at ?? '';
}
