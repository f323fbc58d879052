import type { Reading } from '../../gauge/index.js';
import type { HoldInput, HoldInputs, HoldStretch } from '../../holdtest/index.js';
import { bytesText, damaged, decodeReadings, holdsReadings, type Link, linkKinds, traceStart } from '../chain/index.js';
import { inflated, LineCursor, type RawLine, unpackLineColumns, unpackLines } from './line-encoding.js';

/** What the wall clock showed at a monotonic time; written at the start and whenever the two drift apart. */
export interface ClockMark {
  readonly monotonicMs: number;
  readonly at: string;
}

/** The inputs of a hold test in the order they happened: feeding them to the phases again gives the same test. */
export const inputsOf = (links: () => Iterable<Link>): HoldInputs => ({
  [Symbol.iterator]: () => oneByOne(stretchesOf(links())),
  stretches: () => stretchesOf(links()),
});

function* stretchesOf(links: Iterable<Link>): Generator<HoldStretch> {
  const cursor = traceStart();
  for (const link of links) {
    if (holdsReadings(link.kind)) yield { readings: decodeReadings(link, cursor) };
    else if (link.kind === linkKinds.input) yield { input: parsedInput(link.payload) };
  }
}

/** The inputs of stretches. */
export function* oneByOne(stretches: Iterable<HoldStretch>): Generator<HoldInput> {
  for (const stretch of stretches)
    if ('input' in stretch) yield stretch.input;
    else for (const reading of stretch.readings) yield { kind: 'reading', reading };
}

/** The readings alone, a link at a time. */
export function* readingsOf(links: Iterable<Link>): Iterable<Reading> {
  const cursor = traceStart();
  for (const link of links) if (holdsReadings(link.kind)) yield* decodeReadings(link, cursor);
}

/** Lines as they came over the wire, when the test kept them. */
export function* rawLinesOf(links: Iterable<Link>): Iterable<RawLine> {
  const cursor = new LineCursor();
  for (const { kind, payload } of links) {
    if (kind === linkKinds.lineColumns) yield* unpackLineColumns(payload, cursor);
    else if (kind === linkKinds.packedLines) yield* unpackLines(payload);
    else if (kind === linkKinds.lines) yield* parsed<RawLine[]>(inflated(payload));
  }
}

/** Where wall clock and monotonic clock stood. */
export function* clockMarksOf(links: Iterable<Link>): Iterable<ClockMark> {
  for (const { kind, payload } of links) if (kind === linkKinds.clock) yield parsed<ClockMark>(payload);
}

/** The input of an input link. */
export const parsedInput = (payload: Uint8Array): HoldInput => parsed<HoldInput>(payload);

function parsed<T>(payload: Uint8Array): T {
  try {
    return JSON.parse(bytesText(payload)) as T;
  } catch {
    throw damaged('holds an entry that is no JSON');
  }
}
