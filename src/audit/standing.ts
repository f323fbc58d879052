import type { Store } from '../record/index.js';
import { correctionTexts } from './check-authority.js';
import type { Findings } from './findings.js';

/** A paper or a record from outside: the test it stands on, and its number where it has one. */
export interface Outside {
  readonly test: string;
  readonly number: string | null;
}

/**
 * What a shop's own ledger says of a paper or record since it was handed out: void, replaced, rejected. Nothing to say of a
 * test that the store does not have.
 */
export function checkStanding(store: Store, { test, number }: Outside, findings: Findings): void {
  if (!store.has(test)) return;
  const { voided, certificates, signatures, result, corrections } = store.test(test);
  if (voided) findings.unproven(`test ${test} was declared void on ${voided.at} by ${voided.by}: ${voided.reason}`);
  for (const { signer, signedAt, remark } of result?.verdict === 'pass'
    ? signatures.filter(({ meaning }) => meaning === 'rejected')
    : [])
    findings.unproven(
      `test ${test} was rejected on ${signedAt} by ${signer.name}${remark === '' ? '' : `: ${remark}`}`,
    );
  if (number === null) return;
  const certificate = certificates.find((one) => one.number === number);
  if (!certificate) {
    findings.unproven(`the shop's ledger has no paper ${number} of test ${test}`);
    return;
  }
  const { voided: struck, replacedBy, position } = certificate;
  if (struck) findings.unproven(`${number} was declared void on ${struck.at} by ${struck.by}: ${struck.reason}`);
  if (replacedBy !== null) findings.unproven(`${number} was replaced by ${replacedBy}`);
  const since = corrections.filter((correction) => replacedBy === null && correction.position > position);
  for (const text of since.flatMap(correctionTexts)) findings.unproven(`after ${number} was issued: ${text}`);
  if (!struck && replacedBy === null && !voided)
    findings.checked(`the shop's ledger, line ${position}: ${number} was issued and is not void`);
}
