import type { PortResult, StageResult, Verdict } from '../../evaluation/index.js';
import type { PortName } from '../../hydraulics/index.js';
import type { Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { allowedLeak } from './compare-holds.js';

/** One hold of one stage at one port of a cylinder; numbers in SI, uncertainties expanded (95 %). */
export interface CylinderHold {
  readonly test: string;
  readonly startedAt: string;
  readonly workOrder: string;
  readonly procedure: string;
  readonly gauge: string;
  /** The test was struck out. */
  readonly voided: boolean;
  /** Verdict of the whole test. */
  readonly testVerdict: Verdict;
  readonly port: PortName;
  /** Which try this was within its test, and why it was made again. */
  readonly attempt: number;
  readonly repeatedBecause: string | null;
  readonly stage: string;
  readonly verdict: Verdict;
  readonly targetPa: number;
  readonly dwellS: number | null;
  readonly dropPa: number | null;
  readonly dropUncertaintyPa: number | null;
  readonly allowedDropPa: number | null;
  readonly leakM3PerS: number | null;
  readonly leakUncertaintyM3PerS: number | null;
  /** The leak that the allowed drop stands for; null where no leak could be had. */
  readonly allowedLeakM3PerS: number | null;
}

export interface CylinderHistory {
  readonly serial: string;
  /** Maker and model as the newest test has them. */
  readonly maker: string;
  readonly model: string;
  readonly customers: readonly string[];
  readonly tests: number;
  /** Tests that were never sealed. */
  readonly unsealed: readonly string[];
  /** Oldest first; void tests and every earlier attempt among them. */
  readonly holds: readonly CylinderHold[];
}

/**
 * Everything a cylinder was put through, by its serial (upper and lower case alike).
 * @throws DwellmarkError (`input`) when no test bears that serial.
 */
export function cylinderHistory(store: Store, serial: string): CylinderHistory {
  const wanted = folded(serial);
  const lines = store.tests({ serial, order: 'oldest first' }).filter((line) => folded(line.serial) === wanted);
  const newest = lines.at(-1);
  if (!newest)
    throw new DwellmarkError('input', `there is no test of a cylinder ${serial}`, {
      place: { file: store.path },
      advice: `\`dwellmark list --serial ${serial}\` finds serials that hold these letters.`,
    });
  const { cylinder } = store.test(newest.test).header;
  return {
    serial: newest.serial,
    maker: cylinder.maker,
    model: cylinder.model,
    customers: [...new Set(lines.map(({ customer }) => customer))],
    tests: lines.length,
    unsealed: lines.filter(({ verdict }) => verdict === null).map(({ test }) => test),
    holds: lines.flatMap((line) => {
      const { result } = store.test(line.test);
      if (!result) return [];
      const { test, startedAt, workOrder, procedure, gauge, voided } = line;
      const about = { test, startedAt, workOrder, procedure, gauge, voided, testVerdict: result.verdict };
      return result.ports.flatMap((port) =>
        [...port.earlierAttempts, port].flatMap((attempt) =>
          attempt.stages.map((stage) => ({ ...about, ...holdOf(attempt, stage) })),
        ),
      );
    }),
  };
}

const holdOf = ({ port, attempt, repeat }: PortResult, stage: StageResult) => ({
  port,
  attempt,
  repeatedBecause: repeat ? `${repeat.cause}: ${repeat.reason}` : null,
  stage: stage.name,
  verdict: stage.verdict,
  targetPa: stage.targetPa,
  dwellS: stage.dwellS,
  dropPa: stage.dropPa,
  dropUncertaintyPa: stage.dropUncertaintyPa,
  allowedDropPa: stage.allowedDropPa,
  leakM3PerS: stage.leakM3PerS,
  leakUncertaintyM3PerS: stage.leakUncertaintyM3PerS,
  allowedLeakM3PerS: allowedLeak(stage),
});

const folded = (text: string): string => text.normalize('NFKC').trim().toLowerCase();
