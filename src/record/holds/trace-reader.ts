import { inflateRawSync } from 'node:zlib';
import type { Reading } from '../../gauge/index.js';
import type { HoldInput } from '../../holdtest/index.js';
import { bytesText, damaged, decodeReadings, type Link, linkKinds, traceStart } from '../chain/index.js';

/** A line as the gauge sent it. */
export interface RawLine {
  readonly timeUs: number;
  readonly text: string;
  readonly accepted: boolean;
}

/** What the wall clock showed at a monotonic time; written at the start and whenever the two drift apart. */
export interface ClockMark {
  readonly monotonicMs: number;
  readonly at: string;
}

/** The inputs of a hold test in the order they happened: feeding them to the phases again gives the same test. */
export function* inputsOf(links: Iterable<Link>): Iterable<HoldInput> {
  const cursor = traceStart();
  for (const { kind, payload } of links) {
    if (kind === linkKinds.readings)
      for (const reading of decodeReadings(payload, cursor)) yield { kind: 'reading', reading };
    else if (kind === linkKinds.input) yield parsedInput(payload);
  }
}

/** The readings alone, a link at a time. */
export function* readingsOf(links: Iterable<Link>): Iterable<Reading> {
  const cursor = traceStart();
  for (const { kind, payload } of links) if (kind === linkKinds.readings) yield* decodeReadings(payload, cursor);
}

/** Lines as they came over the wire, when the test kept them. */
export function* rawLinesOf(links: Iterable<Link>): Iterable<RawLine> {
  for (const { kind, payload } of links)
    if (kind === linkKinds.lines) yield* parsed<RawLine[]>(inflateRawSync(payload, { maxOutputLength: 1 << 28 }));
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
