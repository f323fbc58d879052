import type { TestResult } from '../evaluation/index.js';
import type { HoldInput } from '../holdtest/index.js';
import { canonicalJson, headerHead, sealHead, type TestHeader, type TestSeal } from '../record/index.js';
import { ChainWalk, type Stretch } from './check-chain.js';
import type { Findings } from './findings.js';

/** Judges a test again from its header and inputs. */
export type Judge = (header: TestHeader, inputs: Iterable<HoldInput>) => TestResult;

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

/** Computes header, chain, seal and verdict of one test again. Without a judge the verdict is left alone. */
export function checkRecord(found: FoundRecord, judge: Judge | null, findings: Findings): ReadRecord | undefined {
  const where = `test ${found.test}`;
  const { headerText, sealText } = found;
  const header = findings.tried(`${where}, header`, () => JSON.parse(headerText) as TestHeader);
  if (!header) return undefined;
  findings.same(`${where}, header`, 'the number of the test', header.test, found.test);
  const seal =
    sealText === null ? null : (findings.tried(`${where}, seal`, () => JSON.parse(sealText) as TestSeal) ?? null);
  const first = headerHead(Buffer.from(headerText, 'utf8'));
  const walk = new ChainWalk(where, first, findings);
  const inputs = keptOpen(walk.walk(found.stretches));
  if (judge && seal) checkVerdict(where, () => judge(header, inputs), seal, findings);
  findings.tried(where, () => {
    for (const _ of inputs);
  });
  findings.counts.tests += 1;
  findings.counts.links += walk.links;
  findings.counts.readings += walk.look.readings;
  const read = { header, headerHead: first.toString('hex'), notes: walk.notes };
  if (!seal || sealText === null) return { ...read, seal: null, head: null };
  if (walk.finished) compareSeal(`${where}, seal`, seal, walk, found.test, read.headerHead, findings);
  const head = sealHead(Buffer.from(walk.head, 'hex'), Buffer.from(sealText, 'utf8')).toString('hex');
  if (head !== found.head) findings.problem(`${where}, seal`, 'the seal does not fit the chain beneath it');
  return { ...read, seal, head };
}

/** An iterable that is gone through only once and stays where it was left: a judge may stop early. */
function keptOpen<T>(source: Iterable<T>): Iterable<T> {
  const iterator = source[Symbol.iterator]();
  return { [Symbol.iterator]: () => ({ next: () => iterator.next() }) };
}

function checkVerdict(where: string, judge: () => TestResult, seal: TestSeal, findings: Findings): void {
  const judged = findings.tried(`${where}, verdict`, judge);
  if (!judged) return;
  const [stored, again] = [seal.result, judged];
  if (stored.evaluationVersion !== again.evaluationVersion) {
    const outcome = stored.verdict === again.verdict ? 'the same verdict' : `another verdict (${again.verdict})`;
    findings.notChecked(
      `${where}: judged by evaluation ${stored.evaluationVersion}, not by this program's ${again.evaluationVersion}, which comes to ${outcome}`,
    );
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
    chain: walk.head,
    links: walk.links,
    readings: walk.look.readings,
    inputs: walk.inputs,
    firstUs: walk.look.firstUs,
    lastUs: walk.look.lastUs,
  } as const;
  for (const key of Object.keys(computed) as (keyof typeof computed)[])
    findings.same(where, key, seal[key], computed[key]);
}
