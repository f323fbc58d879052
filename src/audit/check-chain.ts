import type { ReadingColumns } from '../gauge/index.js';
import type { HoldInput } from '../holdtest/index.js';
import {
  type Asking,
  actKinds,
  decodeReadings,
  emptyLook,
  hexOf,
  holdsReadings,
  type LedgerLine,
  type LedgerMark,
  type Link,
  ledgerHead,
  ledgerRoot,
  linkBytes,
  linkKinds,
  lookAt,
  parsedInput,
  type QuickLook,
  type RawRows,
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

/**
 * Walks the ledger once: every line's hash on the one before, positions without a gap, the columns against the line.
 * With an anchor, printed on some certificate in the past, it proves that the ledger of then is still the beginning of
 * the ledger of now.
 */
export function checkLedger(
  raw: RawRows,
  anchors: readonly LedgerMark[],
  findings: Findings,
  visit: (line: LedgerLine) => void = () => undefined,
): void {
  const wanted = new Map(anchors.map((anchor) => [anchor.position, anchor.head.toLowerCase()]));
  const seen = new Map<number, string>([[0, ledgerRoot.toString('hex')]]);
  let head: Buffer = ledgerRoot;
  let position = 0;
  for (const row of raw.ledger()) {
    position += 1;
    const where = `ledger line ${position}`;
    findings.same(where, 'the position', row.position, position);
    head = ledgerHead(head, Buffer.from(row.line, 'utf8'));
    if (!head.equals(row.head)) {
      findings.problem(where, 'the line does not fit the chain');
      head = row.head;
    }
    if (wanted.has(position)) seen.set(position, row.head.toString('hex'));
    const line = findings.tried(where, () => JSON.parse(row.line) as LedgerLine);
    if (!line) continue;
    for (const key of ['position', 'kind', 'test', 'subject'] as const) findings.same(where, key, row[key], line[key]);
    if (!actKinds.includes(line.kind)) findings.problem(where, `"${line.kind}" is no kind of act`);
    findings.tried(where, () => visit(line));
  }
  findings.counts.ledgerLines = position;
  for (const { position: at, head: expected } of anchors) {
    const there = seen.get(at);
    if (there === undefined)
      findings.problem(`anchor, ledger position ${at}`, `the ledger ends at ${position}: newer lines were cut off`);
    else if (there !== expected.toLowerCase())
      findings.problem(
        `anchor, ledger position ${at}`,
        'the ledger there is another than the anchor says: it was rebuilt',
      );
  }
  if (anchors.length === 0)
    findings.notChecked(
      'whether the newest end of the ledger was cut off, or all of it rebuilt: give an --anchor, a certificate PDF or the ledger position and head printed on one',
    );
  else {
    const kept = anchors.filter(({ position: at, head: expected }) => seen.get(at) === expected.toLowerCase());
    if (kept.length > 0)
      findings.checked(
        `the ledger still holds ${kept.map(({ position: at }) => `position ${at}`).join(', ')} as it was, and so every line before`,
      );
    const newest = Math.max(...anchors.map(({ position: at }) => at));
    findings.notChecked(
      `whether lines after position ${newest} were cut off: no anchor reaches further (the ledger ends at ${position})`,
    );
  }
}
