import type { Store } from '../../record/index.js';
import { certificateDoubts, signatureDoubts } from './authority.js';
import { unlikeTheirGauge } from './gauge-habits.js';
import { type Credible, type Suspicion, usuallyCredible } from './suspicion.js';
import { clockSteps, crowdedShifts, impossibleTimes, overlaps, type TestTimes } from './times.js';
import { pressuresOf, sketch } from './trace-sketch.js';
import { alikeTraces, repeatedStretches, type SketchedTest } from './traces.js';

export { type Credible, type Suspicion, type SuspicionKind, usuallyCredible } from './suspicion.js';

/**
 * Goes through a whole store for what doesn't look right, as such records have been forged: copied and patched traces,
 * frozen gauges, tests that could not have been run, signatures without authority. Simulated tests are left out of the
 * comparison of traces: the same seed gives the same noise.
 */
export function suspicions(
  store: Store,
  options: { readonly credible?: Credible; readonly progress?: (done: number, of: number) => void } = {},
): Suspicion[] {
  const sketched: SketchedTest[] = [];
  const times: TestTimes[] = [];
  const found: Suspicion[] = [];
  const sealed = store.tests({ order: 'oldest first' }).filter(({ verdict }) => verdict !== null);
  sealed.forEach(({ test, gauge, technician, origin, signatures }, index) => {
    options.progress?.(index, sealed.length);
    const { seal, acts, header, ...stored } = store.test(test);
    if (origin !== 'simulated') sketched.push({ test, gauge, sketch: sketch(pressuresOf(store.inputs(test))) });
    times.push({
      test,
      gauge,
      technician,
      startedMs: Date.parse(header.startedAt),
      lastedS: ((seal?.lastUs ?? 0) - (seal?.firstUs ?? 0)) / 1e6,
      live: origin === 'live',
      started: acts.find(({ kind }) => kind === 'test started'),
      sealed: acts.find(({ kind }) => kind === 'test sealed'),
    });
    if (signatures > 0) found.push(...signatureDoubts(store, test, { seal, acts, header, ...stored }));
  });
  return [
    ...alikeTraces(sketched, (test) => pressuresOf(store.inputs(test))),
    ...repeatedStretches(sketched),
    ...unlikeTheirGauge(sketched),
    ...overlaps(times),
    ...crowdedShifts(times, options.credible ?? usuallyCredible),
    ...impossibleTimes(times),
    ...clockSteps(store.ledger()),
    ...found,
    ...certificateDoubts(store),
  ];
}
