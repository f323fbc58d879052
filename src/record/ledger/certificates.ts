import { DwellmarkError } from '../../units/index.js';
import type { SignedReason, StatementSignature } from '../signature.js';
import type { LedgerMark } from './act-kinds.js';
import type { Ledger } from './ledger.js';

/** What the ledger keeps of a certificate that was handed out. */
export interface CertificateRecord {
  readonly number: string;
  readonly test: string;
  /** Head of the test's seal, hex: what the certificate stands on. */
  readonly head: string;
  /** SHA-256 of the PDF's bytes, hex. */
  readonly pdfSha256: string;
  readonly issuedBy: string;
  /** Ledger position and head printed on it. */
  readonly ledger: LedgerMark;
  /** The certificate this one takes the place of. */
  readonly replaces?: string;
  readonly reason?: string;
  /** Of a reissue: of the person who decided it. */
  readonly signature?: StatementSignature;
  /** What it was rendered with, so that it can be rendered again: language, layout, units, paper. */
  readonly rendering?: Readonly<Record<string, string>>;
}

/** A certificate as the ledger knows it. */
export interface IssuedCertificate extends CertificateRecord {
  readonly issuedAt: string;
  readonly position: number;
  readonly voided: VoidMark | null;
  /** The certificate that took its place. */
  readonly replacedBy: string | null;
}

/** Who struck a test or a certificate out, when and why. Nothing is removed. */
export interface VoidMark {
  readonly at: string;
  readonly position: number;
  readonly by: string;
  readonly reason: string;
}

/**
 * The next free number of a series, `C-2026-0001` for the series `C-2026`. It stays free until a certificate is issued
 * under it.
 */
export function nextCertificateNumber(ledger: Ledger, series: string): string {
  const prefix = `${series}-`;
  let last = 0;
  for (const number of ledger.subjects('certificate issued', prefix)) {
    const rest = number.slice(prefix.length);
    if (/^\d+$/.test(rest)) last = Math.max(last, Number(rest));
  }
  return `${prefix}${String(last + 1).padStart(4, '0')}`;
}

/** All certificates, or those of one test, oldest first. */
export function certificates(ledger: Ledger, test?: string): IssuedCertificate[] {
  const about = test === undefined ? {} : { test };
  const voids = new Map(ledger.lines('certificate voided', about).map((line) => [line.subject, voidMark(line)]));
  const lines = ledger.lines('certificate issued', about);
  const successors = new Map(lines.map((line) => [line.body.replaces, line.subject]));
  return lines.map((line) => ({
    ...(line.body as unknown as CertificateRecord),
    issuedAt: line.at,
    position: line.position,
    voided: voids.get(line.subject) ?? null,
    replacedBy: successors.get(line.subject) ?? null,
  }));
}

/**
 * Writes that a certificate was handed out; the one that it takes the place of is void from the same moment on (the
 * caller's transaction holds both lines). @throws DwellmarkError (`refused`) for a number already used.
 */
export function issueCertificate(ledger: Ledger, certificate: CertificateRecord): LedgerMark {
  const { number, test, replaces } = certificate;
  if (certificateUnder(ledger, number))
    throw new DwellmarkError('refused', `the certificate number ${number} has been used`, {
      advice: 'Take the next number of the series.',
    });
  const old = replaces === undefined ? undefined : certificateUnder(ledger, replaces);
  if (replaces !== undefined && old?.test !== test)
    throw new DwellmarkError('refused', `${number} cannot replace ${replaces}: that is no certificate of test ${test}`);
  const mark = ledger.act('certificate issued', { ...certificate }, { test, subject: number });
  if (old !== undefined && old.voided === null) {
    const reason = [`replaced by ${number}`, certificate.reason].filter(Boolean).join(': ');
    voidCertificate(ledger, old.number, { by: certificate.issuedBy, reason, replacedBy: number });
  }
  return mark;
}

/** Why a certificate is void; `replacedBy` where a signed reissue says so. */
export type VoidReason = SignedReason & { readonly replacedBy?: string };

/** Strikes a certificate out; number and reason stay. @throws DwellmarkError (`refused`) the second time. */
export function voidCertificate(ledger: Ledger, number: string, why: VoidReason): LedgerMark {
  const certificate = certificateUnder(ledger, number);
  if (!certificate) throw new DwellmarkError('input', `there is no certificate ${number}`);
  if (certificate.voided)
    throw new DwellmarkError('refused', `certificate ${number} was voided on ${certificate.voided.at} already`);
  return ledger.act('certificate voided', { number, ...why }, { test: certificate.test, subject: number });
}

/** Strikes a test out as a whole. @throws DwellmarkError (`refused`) the second time. */
export function voidTest(ledger: Ledger, test: string, why: SignedReason): LedgerMark {
  const earlier = testVoid(ledger, test);
  if (earlier) throw new DwellmarkError('refused', `test ${test} was voided on ${earlier.at} already`);
  return ledger.act('test voided', { ...why }, { test, subject: test });
}

/** The mark on a voided test, or null. */
export function testVoid(ledger: Ledger, test: string): VoidMark | null {
  const [line] = ledger.lines('test voided', { subject: test });
  return line ? voidMark(line) : null;
}

function certificateUnder(ledger: Ledger, number: string): IssuedCertificate | undefined {
  const [line] = ledger.lines('certificate issued', { subject: number });
  if (!line?.test) return undefined;
  return certificates(ledger, line.test).find((certificate) => certificate.number === number);
}

const voidMark = (line: { at: string; position: number; body: Readonly<Record<string, unknown>> }): VoidMark => ({
  at: line.at,
  position: line.position,
  by: String(line.body.by),
  reason: String(line.body.reason),
});
