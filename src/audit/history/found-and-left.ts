import type { PortName } from '../../hydraulics/index.js';
import type { Store, StoredTest } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { compareHolds, type HoldSide, type HoldsCompared } from './compare-holds.js';

/** A hold of each test beside the other, or why they can't be compared. */
export interface ComparedStage {
  readonly port: PortName;
  readonly stage: string;
  readonly foundVerdict: string;
  readonly leftVerdict: string;
  readonly compared: HoldsCompared | null;
  readonly why: string | null;
}

/** A cylinder as it was found and as it was left. */
export interface FoundAndLeft {
  readonly found: StoredTest;
  readonly left: StoredTest;
  readonly stages: readonly ComparedStage[];
  /** What the reader must know of the pair, a sentence each. */
  readonly notes: readonly string[];
}

const isFound = (purpose: string | undefined): boolean => purpose === 'as received' || purpose === 'complaint';

/**
 * The last pair of a cylinder: its newest test, and the newest before it that was made as received or on a complaint.
 * Where no test says why it was made: the newest two.
 * @throws DwellmarkError (`input`) when there is no pair.
 */
export function lastPair(store: Store, serial: string): readonly [found: string, left: string] {
  const same = (text: string): boolean => text.trim().toLowerCase() === serial.trim().toLowerCase();
  const tests = store
    .tests({ serial, order: 'newest first' })
    .filter((line) => same(line.serial) && line.verdict !== null && !line.voided)
    .map(({ test }) => ({ test, purpose: store.test(test).header.facts?.purpose }));
  const refused = (message: string, advice: string): DwellmarkError =>
    new DwellmarkError('input', message, { place: { file: store.path }, advice });
  if (tests.length === 0)
    throw refused(`there is no sealed test of a cylinder ${serial}`, 'dwellmark list --serial finds what there is.');
  const [left, ...before] = tests.some(({ purpose }) => purpose !== undefined)
    ? tests.slice(tests.findIndex(({ purpose }) => !isFound(purpose)))
    : tests;
  const found = before.find(({ purpose }) => isFound(purpose)) ?? (left?.purpose === undefined ? before[0] : undefined);
  if (left === undefined || found === undefined || isFound(left.purpose))
    throw refused(
      `cylinder ${serial} has no pair of tests, as found and as left`,
      'Name two tests: dwellmark compare T-2026-0001 T-2026-0004',
    );
  return [found.test, left.test];
}

/**
 * Two tests of one cylinder compared, hold by hold: the same port and stage, by the last attempt at each.
 * @throws DwellmarkError (`input`) for tests of two cylinders, or one that was never sealed.
 */
export function foundAndLeft(store: Store, foundTest: string, leftTest: string): FoundAndLeft {
  const [found, left] = [store.test(foundTest), store.test(leftTest)];
  const [a, b] = [found.header.cylinder.serial, left.header.cylinder.serial];
  if (a !== b)
    throw new DwellmarkError('input', `${foundTest} is of cylinder ${a} and ${leftTest} of ${b}`, {
      advice: 'Compare two tests of one cylinder.',
    });
  for (const { header, result, voided } of [found, left])
    if (result === null || voided !== null)
      throw new DwellmarkError('input', `test ${header.test} ${voided === null ? 'was never sealed' : 'is void'}`, {
        advice: 'Compare tests that stand.',
      });
  const stages = (left.result?.ports ?? []).flatMap(({ port, stages: all }) =>
    all.map((stage): ComparedStage => {
      const before = found.result?.ports
        .find((one) => one.port === port)
        ?.stages.find(({ name }) => name === stage.name);
      const about = {
        port,
        stage: stage.name,
        leftVerdict: stage.verdict,
        foundVerdict: before?.verdict ?? 'not held',
      };
      const sides = [sideOf(store, found, port, before), sideOf(store, left, port, stage)] as const;
      const compared = sides[0] && sides[1] ? compareHolds(sides[0], sides[1]) : null;
      const why =
        before === undefined
          ? 'this hold was not made as found'
          : compared === null
            ? 'one of the holds has no leak rate, or can not be judged'
            : null;
      return { ...about, compared, why };
    }),
  );
  return { found, left, stages, notes: notesOn(found, left) };
}

function sideOf(store: Store, test: StoredTest, port: PortName, stage: HoldSide['stage'] | undefined): HoldSide | null {
  const plan = test.header.plan.ports.find((one) => one.port === port);
  if (plan === undefined || stage === undefined) return null;
  return { stage, trapped: plan.trapped, oilK: meanOilK(store, test, stage) };
}

function meanOilK(store: Store, { header }: StoredTest, stage: HoldSide['stage']): number | null {
  const { dwellStartUs, dwellEndUs } = stage;
  if (!header.gauge.channels.oil || dwellStartUs === null || dwellEndUs === null) return null;
  let [sum, count] = [0, 0];
  for (const { timeUs, oilK } of store.trace(header.test)) {
    if (oilK === null || timeUs < dwellStartUs || timeUs > dwellEndUs) continue;
    sum += oilK;
    count += 1;
  }
  return count === 0 ? null : sum / count;
}

function notesOn({ header: found }: StoredTest, { header: left }: StoredTest): readonly string[] {
  const notes: string[] = [];
  if (found.plan.gauge.serial !== left.plan.gauge.serial)
    notes.push(`Two gauges: ${found.plan.gauge.serial} as found, ${left.plan.gauge.serial} as left.`);
  if (found.plan.procedure.sha256 !== left.plan.procedure.sha256)
    notes.push(`Two procedures: ${found.plan.procedure.title} as found, ${left.plan.procedure.title} as left.`);
  if (found.fluid.name !== left.fluid.name) notes.push(`Two oils: ${found.fluid.name}, then ${left.fluid.name}.`);
  if (found.startedAt > left.startedAt) notes.push('The test named as found is the newer of the two.');
  if (found.facts?.purpose === undefined)
    notes.push('The job as found does not say why it was tested: the pair is the newest two tests.');
  return notes;
}
