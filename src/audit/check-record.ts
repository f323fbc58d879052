import type { TestResult } from '../evaluation/index.js';
import {
  type Asking,
  canonicalJson,
  type EnrolledSigner,
  headerBytes,
  hexOf,
  type StoredSignature,
  sealBytes,
  sha256,
  type TestHeader,
  type TestSeal,
  textBytes,
} from '../record/index.js';
import { signatureFault } from '../signing/index.js';
import { ChainWalk, type Stretch, type Walking } from './check-chain.js';
import type { Findings } from './findings.js';

/**
 * What a check asks beside digests: to judge the test again from the inputs that the walk hands on. The answer is
 * {@link JudgedOrNot}; a walk that the judge left half-way is walked to its end afterwards.
 */
export interface JudgeAsk {
  readonly ask: 'judge';
  readonly header: TestHeader;
  readonly walking: Walking;
}

/** The result, or the error that kept the judge from one. */
export type JudgedOrNot = { readonly result: TestResult } | { readonly error: unknown };

/** A check: work that asks for digests and, where there is a judge, for a judgement. */
export type Checking<Result> = Asking<Result, JudgeAsk>;

/** A test's record as it was found, in a store or a bundle. */
export interface FoundRecord {
  readonly test: string;
  readonly headerText: string;
  readonly stretches: Iterable<Stretch>;
  readonly sealText: string | null;
  /** Head of the seal as it is stored, hex. */
  readonly head: string | null;
}

/** What the check read on its way. */
export interface ReadRecord {
  readonly header: TestHeader;
  /** Head of the header as computed, hex. */
  readonly headerHead: string;
  readonly seal: TestSeal | null;
  /** Head of the seal as computed, hex. */
  readonly head: string | null;
  /** Words written during the test. */
  readonly notes: readonly string[];
}

/** Computes header, chain, seal and verdict of one test again. Without `judging` the verdict is left alone. */
export function* checkRecord(
  found: FoundRecord,
  judging: boolean,
  findings: Findings,
): Checking<ReadRecord | undefined> {
  const where = `test ${found.test}`;
  const { headerText, sealText } = found;
  const header = findings.tried(`${where}, header`, () => JSON.parse(headerText) as TestHeader);
  if (!header) return undefined;
  findings.same(`${where}, header`, 'the number of the test', header.test, found.test);
  const seal =
    sealText === null ? null : (findings.tried(`${where}, seal`, () => JSON.parse(sealText) as TestSeal) ?? null);
  const first = yield* sha256(headerBytes(textBytes(headerText)));
  const walk = new ChainWalk(where, first, findings);
  const walking = walk.walk(found.stretches);
  if (judging && seal) {
    const judged = (yield { ask: 'judge', header, walking }) as JudgedOrNot;
    if ('error' in judged) findings.unreadable(`${where}, verdict`, judged.error);
    else compareVerdict(where, judged.result, seal, findings);
  }
  try {
    yield* toTheEnd(walking);
  } catch (cause) {
    findings.unreadable(where, cause);
  }
  findings.counts.tests += 1;
  findings.counts.links += walk.links;
  findings.counts.readings += walk.look.readings;
  if (seal && Number(seal.result.evaluationVersion) < Number(header.software?.evaluation))
    findings.problem(where, 'it names an older evaluation in its verdict than the program had that ran the test');
  const read = { header, headerHead: hexOf(first), notes: walk.notes };
  if (!seal || sealText === null) return { ...read, seal: null, head: null };
  if (walk.finished) compareSeal(`${where}, seal`, seal, walk, found.test, read.headerHead, findings);
  const head = hexOf(yield* sha256(sealBytes(walk.head, textBytes(sealText))));
  if (head !== found.head) findings.problem(`${where}, seal`, 'the seal does not fit the chain beneath it');
  return { ...read, seal, head };
}

/** What a judge left of a walk: hashed all the same. */
function* toTheEnd(walking: Walking): Asking<void> {
  let at = walking.next();
  while (!at.done) at = walking.next(at.value.ask === 'nothing' ? undefined : yield at.value);
}

function compareVerdict(where: string, again: TestResult, seal: TestSeal, findings: Findings): void {
  const stored = seal.result;
  if (stored.evaluationVersion !== again.evaluationVersion) {
    const by = `${where}: judged by evaluation ${stored.evaluationVersion}, not by this program's ${again.evaluationVersion}, which comes to`;
    if (stored.verdict === again.verdict) findings.notChecked(`${by} the same verdict`);
    else findings.unproven(`${by} another verdict: ${again.verdict} in place of ${stored.verdict}`);
    return;
  }
  findings.counts.verdicts += 1;
  if (canonicalJson(stored) === canonicalJson(again)) return;
  findings.problem(
    `${where}, verdict`,
    stored.verdict === again.verdict
      ? `judged again, the figures beneath the verdict ${stored.verdict} come out differently`
      : `the verdict is stored as ${stored.verdict}; judged again it is ${again.verdict}`,
  );
}

function compareSeal(
  where: string,
  seal: TestSeal,
  walk: ChainWalk,
  test: string,
  header: string,
  findings: Findings,
): void {
  const computed = {
    format: 'dwellmark seal 1',
    test,
    header,
    chain: walk.headText,
    links: walk.links,
    readings: walk.look.readings,
    inputs: walk.inputs,
    firstUs: walk.look.firstUs,
    lastUs: walk.look.lastUs,
  } as const;
  for (const key of Object.keys(computed) as (keyof typeof computed)[])
    findings.same(where, key, seal[key], computed[key]);
}

/** Signatures of one test: the arithmetic, the record they are on, and whether the ledger knew that person and key then. */
export function* checkSignatures(
  test: string,
  head: string | null,
  signatures: readonly StoredSignature[],
  signers: readonly EnrolledSigner[],
  findings: Findings,
): Asking<void> {
  for (const { position, ...signature } of signatures) {
    const where = `test ${test}, signature of ${signature.signer?.name} (ledger line ${position})`;
    findings.counts.signatures += 1;
    const enrolled = signers.find(({ id }) => id === signature.signer.id);
    const expected = {
      test,
      ...(head === null ? {} : { head }),
      ...(enrolled ? { publicKey: enrolled.publicKey } : {}),
    };
    const fault = yield* signatureFault(signature, expected);
    if (fault !== null) findings.problem(where, fault);
    if (head === null) findings.problem(where, 'the test is not sealed: there is nothing it can be on');
    if (!enrolled) {
      findings.problem(where, `nobody is enrolled as "${signature.signer.id}"`);
      continue;
    }
    for (const key of ['name', 'role', 'organisation'] as const)
      findings.same(where, key, signature.signer[key], enrolled[key]);
    if (position < enrolled.position) findings.problem(where, 'signed before the signer was enrolled');
    if (enrolled.revoked && position > enrolled.revoked.position)
      findings.problem(where, `signed after the key was revoked (ledger line ${enrolled.revoked.position})`);
  }
}
