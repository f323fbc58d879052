import type Database from 'better-sqlite3';
import type { HoldInput } from '../../holdtest/index.js';
import { gaugesInTest } from '../../procedure/index.js';
import { insertRow } from '../file/index.js';
import type { TestHeader } from '../header.js';

/** Enters a sealed test into the full-text index. */
export function indexTest(db: Database.Database, testId: number, header: TestHeader, notes: readonly string[]): void {
  insertRow(db, 'search (rowid, test, text)', [testId, header.test, searchText(header, notes)]);
}

/** The words a test can be searched by: header, then the notes taken during it. */
export function searchText(header: TestHeader, notes: readonly string[]): string {
  const { cylinder, plan } = header;
  return [
    header.test,
    header.customer,
    header.workOrder,
    header.technician,
    header.bench,
    header.condition,
    cylinder.serial,
    cylinder.maker,
    cylinder.model,
    ...gaugesInTest(plan).map(({ serial }) => serial),
    plan.procedure.id,
    plan.procedure.title,
    ...header.findings.map((finding) => finding.overruled?.why ?? ''),
    ...notes,
  ]
    .filter((part) => part !== '')
    .join('\n');
}

/** What a person wrote or said in an input: notes, reasons, remarks on a leak. */
export function wordsOf(input: HoldInput): string[] {
  if (input.kind !== 'operator') return [];
  const { act } = input;
  switch (act.kind) {
    case 'note':
      return [act.text];
    case 'observation':
      return [`${act.observation.point}, ${act.observation.amount}`, act.observation.text ?? ''];
    case 'end-dwell':
    case 'stop':
    case 'force':
    case 'repeat':
      return [act.reason];
    default:
      return [];
  }
}

/** A person's words as a full-text query: every word must occur, each may go on. Operators are plain words. */
export const fullTextQuery = (text: string): string =>
  (text.match(/[\p{L}\p{N}]+/gu) ?? []).map((word) => `"${word}"*`).join(' ');
