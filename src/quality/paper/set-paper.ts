import { exportCsv, paperRecord } from '../../audit/index.js';
import type { Shop } from '../../bench/index.js';
import {
  type CertificateContent,
  type CertificateInput,
  type CertificateKind,
  certificateContent,
  type Language,
  renderCertificate,
} from '../../certificate/index.js';
import type { LedgerMark, Store } from '../../record/index.js';
import type { UnitSystemName } from '../../units/index.js';
import type { SealedTest } from './issuable.js';
import type { Press } from './press.js';

/** How a paper is set: kept with its number in the ledger, so that it can be set again. */
export interface Setting {
  readonly units: UnitSystemName;
  /** Other units, printed beside. */
  readonly beside: UnitSystemName | null;
  readonly language: Language;
  readonly paper: Shop['paper'];
  readonly accent: string | null;
  /** Words of conformity that QA typed, printed as they are. */
  readonly declaration: string | null;
  /** The date and time printed on it, ISO 8601 with offset. */
  readonly issuedAt: string;
}

/** What a paper is about, beside its test. */
export interface PaperFacts {
  readonly number: string;
  readonly kind: CertificateKind;
  readonly ledger: LedgerMark;
  readonly reissueOf?: string | undefined;
  readonly reason?: string | undefined;
  readonly replacedBy?: string | undefined;
}

export interface SetPaper {
  readonly content: CertificateContent;
  /** The PDF before its signature. */
  readonly unsigned: Buffer;
}

/**
 * Sets a paper as of a ledger position: signatures and record attached are those of then, so that the same facts give
 * the same bytes years later.
 */
export async function setPaper(
  store: Store,
  { stored, head, result }: SealedTest,
  facts: PaperFacts,
  setting: Setting,
  press: Press,
): Promise<SetPaper> {
  const { test } = stored.header;
  const { ledger } = facts;
  const stationery = press.stationery(setting.language);
  const input: CertificateInput = {
    number: facts.number,
    kind: facts.kind,
    ...(facts.reissueOf === undefined ? {} : { reissueOf: facts.reissueOf }),
    ...(facts.reason === undefined ? {} : { reason: facts.reason }),
    ...(facts.replacedBy === undefined ? {} : { replacedBy: facts.replacedBy }),
    header: stored.header,
    result,
    seal: { head, ledgerPosition: ledger.position, ledgerHead: ledger.head },
    signatures: stored.signatures.filter(({ position }) => position <= ledger.position),
    trace: store.trace(test),
    paper: setting.paper,
    units: setting.units,
    ...(setting.beside === null ? {} : { secondUnits: setting.beside }),
    language: setting.language,
    issuedAt: setting.issuedAt,
    procedureIsTemplate: press.isTemplate(stored.header.plan.procedure.id),
    recordJson: paperRecord(store, test, ledger.position),
    traceCsv: [...exportCsv(store, test)].join(''),
    ...(stationery.logo === undefined ? {} : { logo: stationery.logo }),
    ...(setting.accent === null ? {} : { accent: setting.accent }),
    ...(setting.declaration === null ? {} : { declaration: setting.declaration }),
  };
  const content = certificateContent(input, stationery.words);
  const unsigned = await renderCertificate(content, {
    signatureField: facts.kind !== 'draft',
    ...(stationery.layout === undefined ? {} : { layout: stationery.layout }),
  });
  return { content, unsigned };
}
