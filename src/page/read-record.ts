import { asSignature, openBundle, signersIn } from '../audit/index.js';
import type { OilRange, TraceColumns } from '../certificate/index.js';
import {
  type Correction,
  corrected,
  correctionsIn,
  decodeReadings,
  type EnrolledSigner,
  GrowingColumn,
  holdsReadings,
  type LedgerLine,
  type LedgerMark,
  type Link,
  type StoredSignature,
  type TestHeader,
  type TestSeal,
  traceStart,
} from '../record/index.js';

/** A test's record, taken out of its bundle: read, not yet checked. */
export interface RecordRead {
  readonly test: string;
  /** With customer, work order and address as corrected. */
  readonly header: TestHeader;
  readonly corrections: readonly Correction[];
  readonly seal: TestSeal;
  /** Head of the seal as it is written down, hex. */
  readonly head: string;
  readonly ledger: LedgerMark;
  readonly acts: readonly LedgerLine[];
  readonly signatures: readonly StoredSignature[];
  readonly signers: readonly EnrolledSigner[];
  readonly links: readonly Link[];
}

/** @throws DwellmarkError (`input`, `altered`) when the text is no bundle. */
export function readRecord(bundle: string): RecordRead {
  const { test, ledger, header, links, seal, head, acts: loose } = openBundle(bundle);
  const acts = loose.map(({ line }) => JSON.parse(line) as LedgerLine);
  const corrections = correctionsIn(acts, test);
  return {
    test,
    header: corrected(JSON.parse(header) as TestHeader, corrections),
    corrections,
    seal: JSON.parse(seal) as TestSeal,
    head,
    ledger,
    acts,
    signatures: acts.filter((act) => act.kind === 'signed' && act.test === test).map(asSignature),
    signers: signersIn(acts),
    links,
  };
}

/** The readings of a record as columns, and how warm the oil was. */
export interface TraceRead {
  readonly columns: TraceColumns;
  readonly oil: OilRange | null;
}

/** @throws DwellmarkError (`altered`) when a chunk is none. */
export function readTrace(links: Iterable<Link>, readings: number): TraceRead {
  const timeUs = new GrowingColumn(readings);
  const pressurePa = new GrowingColumn(readings);
  const oppositePa = new GrowingColumn(readings);
  let [lowK, highK] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let oppositeSeen = false;
  const cursor = traceStart();
  for (const link of links) {
    if (!holdsReadings(link.kind)) continue;
    for (const reading of decodeReadings(link, cursor)) {
      timeUs.add(reading.timeUs);
      pressurePa.add(reading.pressurePa ?? Number.NaN);
      oppositePa.add(reading.oppositePa ?? Number.NaN);
      if (reading.oppositePa !== null) oppositeSeen = true;
      if (reading.oilK === null) continue;
      if (reading.oilK < lowK) lowK = reading.oilK;
      if (reading.oilK > highK) highK = reading.oilK;
    }
  }
  const opposite = oppositePa.taken();
  return {
    columns: { timeUs: timeUs.taken(), pressurePa: pressurePa.taken(), oppositePa: oppositeSeen ? opposite : null },
    oil: highK >= lowK ? { lowK, highK } : null,
  };
}
