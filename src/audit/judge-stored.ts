import { Judgement, judge, type TestResult } from '../evaluation/index.js';
import type { HoldInputs } from '../holdtest/index.js';
import type { TestHeader } from '../record/index.js';

/** A test as it is about to be judged, with what was known beside its plan. */
export const judgementOf = (header: TestHeader): Judgement => new Judgement(header.plan, knownBeside(header));

/** Judges a stored test again, with what was known then. */
export const judgeStored = (header: TestHeader, inputs: HoldInputs): TestResult =>
  judge(header.plan, inputs, knownBeside(header));

const knownBeside = ({ benchCheck }: TestHeader) => ({ benchCheckLeakM3PerS: benchCheck?.leakM3PerS ?? null });
