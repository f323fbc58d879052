import {
  type Asking,
  type BundleLine,
  base64Bytes,
  type EnrolledSigner,
  hexBytes,
  hexOf,
  isLinkKind,
  type LedgerLine,
  type LedgerMark,
  type Link,
  type LooseLedgerLine,
  ledgerBytes,
  type RecordSignature,
  type SignerRecord,
  type StoredSignature,
  sha256,
  type TestHeader,
  type TestSeal,
  textBytes,
} from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { type About, aboutRecord } from './about.js';
import { checkCorrectionSigners, checkCorrections } from './check-authority.js';
import { type Checking, checkRecord, checkSignatures } from './check-record.js';
import { checkedNow, type Judge } from './checked-test.js';
import { type CheckReport, Findings } from './findings.js';

export interface OpenedBundle {
  readonly test: string;
  /** Where the shop's ledger stood when this was written. */
  readonly ledger: LedgerMark;
  readonly header: string;
  readonly links: readonly Link[];
  readonly seal: string;
  readonly head: string;
  readonly acts: readonly LooseLedgerLine[];
  readonly end: string | null;
}

/** What a bundle came to. */
export interface BundleReport extends CheckReport {
  readonly test: string;
  /** What it is; null when its record can't be read. */
  readonly about: About | null;
}

/**
 * Checks a bundle on its own: chain, seal, verdict, signatures, and that the ledger lines in it are whole.
 * @param text The bundle's bytes as text.
 * @throws DwellmarkError (`input`) when it is no bundle at all.
 */
export const verifyBundle = (text: string, judge: Judge | null): BundleReport =>
  checkedNow(checkBundle(text, judge !== null), judge);

/** The same as work that asks: for a browser. */
export function* checkBundle(text: string, judging: boolean): Checking<BundleReport> {
  const findings = new Findings();
  const bundle = openBundle(text);
  const sum = hexOf(yield* sha256(textBytes(text.slice(0, text.lastIndexOf('{"end":')))));
  findings.same('bundle', 'the sum at its end', bundle.end, sum);
  const { test, header, links, seal, head } = bundle;
  const found = { test, headerText: header, stretches: [{ links }], sealText: seal, head };
  const read = yield* checkRecord(found, judging, findings);
  const acts: LedgerLine[] = [];
  for (const loose of bundle.acts) {
    const act = yield* checkLooseLine(loose, findings);
    if (act) acts.push(act);
  }
  const started = acts.find(({ kind, test: about }) => kind === 'test started' && about === test);
  const sealed = acts.find(({ kind, test: about }) => kind === 'test sealed' && about === test);
  findings.same('ledger lines', 'the header', started?.body.header, read?.headerHead);
  findings.same('ledger lines', 'the sealed head', sealed?.body.head, read?.head);
  const signatures = acts.filter(({ kind, test: about }) => kind === 'signed' && about === test).map(asSignature);
  try {
    yield* checkSignatures(test, read?.head ?? null, signatures, signersIn(acts), findings);
    if (read) checkCorrections(read.header, acts, findings);
    yield* checkCorrectionSigners(test, acts, signersIn(acts), findings);
  } catch (cause) {
    findings.unreadable('signatures', cause);
  }
  findings.checked('header, chunks and seal against the hash chain');
  findings.checked('signatures: on this record, by the keys that the enclosed ledger lines enrol');
  if (judging) findings.checked('the verdict: judged again from the enclosed readings');
  findings.notChecked(
    "whether these ledger lines are still in the shop's ledger: in the shop, verify with this file as --anchor",
  );
  findings.notChecked('whether ledger lines about this test were left out');
  const about = read?.seal ? yield* aboutOf(read.header, read.seal, head, acts, signatures, findings) : null;
  for (const mark of about?.voids ?? []) findings.unproven(mark);
  return { test, about, ...findings.report() };
}

function* aboutOf(
  header: TestHeader,
  seal: TestSeal,
  head: string,
  acts: readonly LedgerLine[],
  signatures: readonly RecordSignature[],
  findings: Findings,
): Asking<About | null> {
  try {
    return yield* aboutRecord(header, seal, head, acts, signatures);
  } catch (cause) {
    findings.unreadable('record', cause);
    return null;
  }
}

/**
 * Whether the people who signed a record that stands by itself, and its corrections, are known: by fingerprints of their keys, as the shop gave
 * them. A file brings its own keys, so that without them anybody could have made it.
 * @param keys first 16 or more hex digits of the SHA-256 of a key each; blanks don't matter.
 */
export function signedByKnown<Report extends BundleReport>(report: Report, keys: readonly string[]): Report {
  const known = keys.map((key) => key.replace(/\s/g, '').toLowerCase().slice(0, 16));
  const signatures = report.about?.signatures ?? [];
  const strange = [...signatures, ...(report.about?.correctors ?? [])].filter(({ key }) => !known.includes(key));
  if (signatures.length === 0)
    return {
      ...report,
      unproven: [...report.unproven, 'nobody signed this record: anybody could have made this file'],
    };
  if (strange.length === 0)
    return { ...report, checked: [...report.checked, 'who signed: keys that were given as known'] };
  const why = `who signed is not known: the file brings its own keys (${[...new Set(strange.map(({ name, key }) => `${name} ${fours(key)}`))].join(', ')}). Ask the shop for the fingerprints and give them with --key`;
  return { ...report, unproven: [...report.unproven, why] };
}

const fours = (hex: string): string => hex.replace(/.{4}(?=.)/g, '$& ');

/** Takes a bundle apart. @throws DwellmarkError (`input`, `altered`) when it is none. */
export function openBundle(text: string): OpenedBundle {
  const lines = text
    .split('\n')
    .filter((line) => line !== '')
    .map((line, index) => parsed(line, index + 1));
  const [first] = lines;
  if (!first || !('bundle' in first) || first.bundle !== 'dwellmark bundle 1')
    throw new DwellmarkError('input', 'this file is no bundle of a test', { place: { line: 1 } });
  const headers = lines.filter((line) => 'header' in line);
  const seals = lines.filter((line) => 'seal' in line);
  const [header, seal] = [headers[0], seals[0]];
  if (!header || !seal || headers.length > 1 || seals.length > 1)
    throw new DwellmarkError('altered', 'the bundle must hold one header and one seal');
  const links = lines
    .filter((line) => 'link' in line)
    .map(({ link }, index): Link => {
      if (!isLinkKind(link.kind)) throw new DwellmarkError('altered', `entry ${index + 1} is of an unknown kind`);
      const payload = base64Bytes(link.payload);
      if (payload === null) throw new DwellmarkError('altered', `entry ${index + 1} is no base64`);
      return { seq: index + 1, kind: link.kind, payload };
    });
  const acts = lines.filter((line) => 'act' in line).map(({ act }) => act);
  const last = lines.at(-1);
  const end = last && 'end' in last ? last.end : null;
  return {
    test: first.test,
    ledger: first.ledger,
    header: header.header,
    links,
    seal: seal.seal,
    head: seal.head,
    acts,
    end,
  };
}

function parsed(line: string, number: number): BundleLine {
  try {
    return JSON.parse(line) as BundleLine;
  } catch (cause) {
    throw new DwellmarkError('input', 'this line of the bundle is no JSON', { place: { line: number }, cause });
  }
}

function* checkLooseLine({ line, before, head }: LooseLedgerLine, findings: Findings): Asking<LedgerLine | undefined> {
  findings.counts.ledgerLines += 1;
  const computed = hexOf(yield* sha256(ledgerBytes(hexBytes(before), textBytes(line))));
  const act = findings.tried('ledger lines', () => JSON.parse(line) as LedgerLine);
  if (computed !== head)
    findings.problem(`ledger line ${act?.position ?? ''}`, 'the line does not fit the heads beside it');
  return act;
}

export const asSignature = ({ body, position }: LedgerLine): StoredSignature => ({
  ...(body as unknown as RecordSignature),
  position,
});

/** Everyone whom the ledger lines at hand enrol. */
export function signersIn(acts: readonly LedgerLine[]): EnrolledSigner[] {
  return acts
    .filter(({ kind }) => kind === 'signer enrolled')
    .map((line) => {
      const revoked = acts.find(({ kind, subject }) => kind === 'signer revoked' && subject === line.subject);
      return {
        ...(line.body as unknown as SignerRecord),
        enrolledAt: line.at,
        position: line.position,
        revoked: revoked
          ? {
              at: revoked.at,
              position: revoked.position,
              by: String(revoked.body.by),
              reason: String(revoked.body.reason),
            }
          : null,
      };
    });
}
