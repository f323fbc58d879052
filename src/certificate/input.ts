import type { TestResult } from '../evaluation/index.js';
import type { Reading } from '../gauge/index.js';
import type { Correction, RecordSignature, TestHeader } from '../record/index.js';
import { DwellmarkError, steeringSign, type UnitSystemName } from '../units/index.js';

/** What kind of paper is asked for. A test that did not pass is always titled a test report. */
export type CertificateKind = 'certificate' | 'test report' | 'draft' | 'void';

export const languages = ['en', 'de'] as const;
export type Language = (typeof languages)[number];

/** Everything a certificate is made from. Nothing else goes in, so the same input gives the same bytes. */
export interface CertificateInput {
  readonly number: string;
  /** The series the number belongs to, in the shop's words; printed when given. */
  readonly series?: string;
  readonly kind: CertificateKind;
  /** Number of the paper that this one replaces. */
  readonly reissueOf?: string;
  /** Why it was reissued or declared void. */
  readonly reason?: string;
  /** Number of the paper that replaces this one, on a void paper. */
  readonly replacedBy?: string;
  /** With customer, work order and address as corrected. */
  readonly header: TestHeader;
  /** Signed amendments that the header takes in; each is printed. */
  readonly corrections?: readonly Correction[];
  readonly result: TestResult;
  /** SHA-256 of the record and the newest ledger line at the time of issue, hex. */
  readonly seal: { readonly head: string; readonly ledgerPosition: number; readonly ledgerHead: string };
  readonly signatures: readonly RecordSignature[];
  /** Every reading of the test, all ports and attempts, in the order of time. */
  readonly trace: Iterable<Reading>;
  readonly paper: 'A4' | 'Letter';
  readonly units: UnitSystemName;
  /** The other units, printed beside. */
  readonly secondUnits?: UnitSystemName;
  readonly language: Language;
  /** PNG, JPEG or SVG. */
  readonly logo?: Uint8Array;
  /** `#1f4e79` */
  readonly accent?: string;
  /** ISO 8601 with offset. */
  readonly issuedAt: string;
  /** A conformity that QA typed (for example an inspection document type), printed word for word. */
  readonly declaration?: string;
  /** A procedure of this id is shipped, so that one with other words is an edited copy of it. */
  readonly procedureIsTemplate?: boolean;
  readonly recordJson: string;
  readonly traceCsv: string;
  /** How the paper is set, attached so that its pages can be set again. */
  readonly paperJson?: string;
}

/**
 * Refuses what no paper may be made from.
 * @throws DwellmarkError `refused` without a trace or for an accent that is no colour, `input` for control characters.
 */
export function refuseUnprintable(input: CertificateInput, readings: number): void {
  if (readings === 0)
    throw new DwellmarkError('refused', `test ${input.header.test} has no readings: without a trace, no certificate`);
  if (input.accent !== undefined && !/^#[0-9a-f]{6}$/i.test(input.accent))
    throw new DwellmarkError('input', `"${input.accent}" is not a colour`, {
      place: { key: 'accent' },
      advice: 'Write # and six hexadecimal digits, for example "#1f4e79".',
    });
  for (const [key, text] of printedTexts(input)) {
    const sign = steeringSign(text);
    if (sign !== null)
      throw new DwellmarkError('input', `${key} has the control character ${sign} in it`, {
        place: { key },
        advice: 'Remove it from the job or the shop file; a certificate prints text as it is.',
      });
  }
}

function printedTexts(input: CertificateInput): readonly (readonly [string, string])[] {
  const { header } = input;
  return [
    ['number', input.number],
    ['reason', input.reason ?? ''],
    ['declaration', input.declaration ?? ''],
    ['customer', header.customer],
    ['work_order', header.workOrder],
    ['technician', header.technician],
    ['condition', header.condition],
    ['shop.name', header.shop.name],
    ['shop.address', header.shop.address],
    ['bench', header.bench],
    ['cylinder.serial', header.cylinder.serial],
    ['cylinder.maker', header.cylinder.maker],
    ['cylinder.model', header.cylinder.model],
    ...input.signatures.flatMap((signature): (readonly [string, string])[] => [
      ['signature.name', signature.signer.name],
      ['signature.organisation', signature.signer.organisation],
      ['signature.remark', signature.remark],
    ]),
  ];
}
