import { judgementOf } from '../../../bench/index.js';
import type { TestResult } from '../../../evaluation/index.js';
import type { HoldEvent, HoldInput } from '../../../holdtest/index.js';
import type { TestHeader } from '../../../record/index.js';

/** An event of the test, and the input that brought it. */
export interface Mark extends HoldEvent {
  readonly index: number;
}

/** A stored test, to be run through from any place: its inputs and where something happened. */
export interface Tape {
  readonly header: TestHeader;
  readonly inputs: readonly HoldInput[];
  readonly marks: readonly Mark[];
  readonly startUs: number;
  readonly endUs: number;
  /** What its inputs come to when they are judged again. */
  readonly result: TestResult;
}

/** When an input happened, microseconds on the gauge's clock. */
export function timeOf(input: HoldInput): number {
  if (input.kind === 'reading') return input.reading.timeUs;
  return input.kind === 'fault' ? input.fault.timeUs : input.timeUs;
}

/** Judges a stored test once from its beginning to its end, and keeps where something happened. */
export function makeTape(header: TestHeader, stored: Iterable<HoldInput>): Tape {
  const inputs = [...stored];
  const judgement = judgementOf(header);
  const marks: Mark[] = [];
  let [startUs, endUs] = [Number.POSITIVE_INFINITY, 0];
  inputs.forEach((input, index) => {
    startUs = Math.min(startUs, timeOf(input));
    endUs = Math.max(endUs, timeOf(input));
    for (const effect of judgement.add(input)) if (effect.kind === 'event') marks.push({ ...effect.event, index });
  });
  return { header, inputs, marks, startUs: Math.min(startUs, endUs), endUs, result: judgement.result() };
}

/** The first mark of each phase, attempt by attempt, in the order they came. */
export function phaseMarks({ marks }: Pick<Tape, 'marks'>): Mark[] {
  return marks.filter((mark, at) => {
    const before = marks[at - 1];
    return (
      before === undefined ||
      before.phase !== mark.phase ||
      before.port !== mark.port ||
      before.attempt !== mark.attempt ||
      before.stage !== mark.stage
    );
  });
}
