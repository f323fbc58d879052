import type { ReadingColumns } from '../gauge/index.js';
import type { HoldInput } from '../holdtest/index.js';
import {
  type Asking,
  decodeReadings,
  emptyLook,
  hexOf,
  holdsReadings,
  type Link,
  linkBytes,
  linkKinds,
  lookAt,
  parsedInput,
  type QuickLook,
  sameBytes,
  sha256,
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

/** What a walk along a chain hands on: the inputs of a link that has just been hashed; good until it goes on. */
export type WalkedInputs =
  | { readonly ask: 'nothing'; readonly readings: ReadingColumns }
  | { readonly ask: 'nothing'; readonly input: HoldInput };

export type Walking = Asking<void, WalkedInputs>;

/**
 * Walks a test's chain once: hashes every link, holds each stretch against what is stored about it, and hands the
 * inputs on as it goes, so that a verdict is computed from exactly the bytes that were hashed.
 */
export class ChainWalk {
  readonly #where: string;
  readonly #findings: Findings;
  #head: Uint8Array;
  links = 0;
  inputs = 0;
  look: QuickLook = emptyLook;
  /** The walk came to the end of the chain. */
  finished = false;
  readonly notes: string[] = [];

  constructor(where: string, headerHead: Uint8Array, findings: Findings) {
    this.#where = where;
    this.#head = headerHead;
    this.#findings = findings;
  }

  /** Head after the last link walked. */
  get head(): Uint8Array {
    return this.#head;
  }

  *walk(stretches: Iterable<Stretch>): Walking {
    const cursor = traceStart(true);
    for (const { links, claims } of stretches) {
      const firstSeq = this.links + 1;
      let look = emptyLook;
      for (const { kind, payload } of links) {
        this.links += 1;
        const link = { seq: this.links, kind, payload };
        this.#head = yield* sha256(linkBytes(this.#head, link));
        if (holdsReadings(kind)) {
          const readings = decodeReadings(link, cursor);
          look = lookAt(look, readings);
          this.inputs += readings.length;
          yield { ask: 'nothing', readings };
        } else if (kind === linkKinds.input) {
          const input = parsedInput(payload);
          this.inputs += 1;
          this.notes.push(...wordsOf(input));
          yield { ask: 'nothing', input };
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
    if (!sameBytes(this.#head, claims.head))
      this.#findings.problem(where, 'the readings or acts stored here do not fit the hash chain');
    if (!claims.look) return;
    for (const key of ['readings', 'firstUs', 'lastUs', 'firstPa', 'lastPa', 'minPa', 'maxPa'] as const)
      this.#findings.same(where, key, claims.look[key], look[key]);
  }

  /** Head after the last link walked, hex. */
  get headText(): string {
    return hexOf(this.#head);
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
