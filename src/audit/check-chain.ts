import type { HoldInput } from '../holdtest/index.js';
import {
  decodeReadings,
  emptyLook,
  type Link,
  linkHead,
  linkKinds,
  lookAt,
  parsedInput,
  type QuickLook,
  traceStart,
  wordsOf,
} from '../record/index.js';
import type { Findings } from './findings.js';

/** Some links of a chain, with what is stored about them; a bundle stores nothing but the links. */
export interface Stretch {
  readonly links: Iterable<Link>;
  readonly claims?: {
    readonly firstSeq: number;
    readonly count: number;
    readonly head: Uint8Array;
    readonly look: QuickLook | null;
  };
}

/**
 * Walks a test's chain once: hashes every link, holds each stretch against what is stored about it, and hands the
 * inputs on as it goes, so that a verdict is computed from exactly the bytes that were hashed.
 */
export class ChainWalk {
  readonly #where: string;
  readonly #findings: Findings;
  #head: Buffer;
  links = 0;
  inputs = 0;
  look: QuickLook = emptyLook;
  /** The walk came to the end of the chain. */
  finished = false;
  readonly notes: string[] = [];

  constructor(where: string, headerHead: Buffer, findings: Findings) {
    this.#where = where;
    this.#head = headerHead;
    this.#findings = findings;
  }

  /** Head after the last link walked, hex. */
  get head(): string {
    return this.#head.toString('hex');
  }

  *walk(stretches: Iterable<Stretch>): Iterable<HoldInput> {
    const cursor = traceStart();
    for (const { links, claims } of stretches) {
      const firstSeq = this.links + 1;
      let look = emptyLook;
      for (const { kind, payload } of links) {
        this.links += 1;
        this.#head = linkHead(this.#head, { seq: this.links, kind, payload });
        if (kind === linkKinds.readings) {
          const readings = decodeReadings(payload, cursor);
          look = lookAt(look, readings);
          this.inputs += readings.length;
          for (const reading of readings) yield { kind: 'reading', reading };
        } else if (kind === linkKinds.input) {
          const input = parsedInput(payload);
          this.inputs += 1;
          this.notes.push(...wordsOf(input));
          yield input;
        }
      }
      this.look = joined(this.look, look);
      if (claims) this.#compare(firstSeq, look, claims);
    }
    this.finished = true;
  }

  #compare(firstSeq: number, look: QuickLook, claims: NonNullable<Stretch['claims']>): void {
    const where = `${this.#where}, entries ${firstSeq} to ${this.links}`;
    this.#findings.same(where, 'the first entry', claims.firstSeq, firstSeq);
    this.#findings.same(where, 'the number of entries', claims.count, this.links - firstSeq + 1);
    if (!this.#head.equals(claims.head))
      this.#findings.problem(where, 'the readings or acts stored here do not fit the hash chain');
    if (!claims.look) return;
    for (const key of ['readings', 'firstUs', 'lastUs', 'firstPa', 'lastPa', 'minPa', 'maxPa'] as const)
      this.#findings.same(where, key, claims.look[key], look[key]);
  }
}

function joined(all: QuickLook, next: QuickLook): QuickLook {
  return {
    ...all,
    readings: all.readings + next.readings,
    firstUs: all.firstUs ?? next.firstUs,
    lastUs: next.lastUs ?? all.lastUs,
  };
}
