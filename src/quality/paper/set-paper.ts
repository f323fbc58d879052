import { exportCsv, paperRecord } from '../../audit/index.js';
import type { Shop } from '../../bench/index.js';
import {
  type CertificateKind,
  changedKeys,
  type Language,
  type PaperFile,
  type SetPaper,
  setPaper,
  setWith,
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

/**
 * Sets a paper as of a ledger position: signatures and record attached are those of then, so that the same facts give
 * the same bytes years later.
 */
export function paperOf(
  store: Store,
  { stored, head, result }: SealedTest,
  facts: PaperFacts,
  setting: Setting,
  press: Press,
): Promise<SetPaper> {
  const { test } = stored.header;
  const { ledger } = facts;
  return setPaper(paperFile(facts, setting, press), {
    header: stored.header,
    result,
    seal: { head, ledgerPosition: ledger.position, ledgerHead: ledger.head },
    signatures: stored.signatures.filter(({ position }) => position <= ledger.position),
    corrections: stored.corrections.filter(({ position }) => position <= ledger.position),
    trace: store.trace(test),
    recordJson: paperRecord(store, test, ledger.position),
    traceCsv: [...exportCsv(store, test, ledger.position)].join(''),
  });
}

function paperFile(facts: PaperFacts, setting: Setting, press: Press): PaperFile {
  const { ledger: _ledger, ...about } = facts;
  const { beside, accent, declaration, ...how } = setting;
  const { words, layout, logo } = press.stationery(setting.language);
  return {
    format: 'dwellmark paper 1',
    setWith: setWith(),
    ...given(about),
    ...how,
    ...given({ secondUnits: beside, accent, declaration, layout, logo: logo?.toString('base64') }),
    ...(changedKeys(words.changes).length === 0 ? {} : { words: words.changes }),
  } as PaperFile;
}

/** Without what is not given. */
const given = (facts: Readonly<Record<string, unknown>>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined && value !== null));
