import { actKinds, type LedgerLine, type LedgerMark, ledgerHead, ledgerRoot, type RawRows } from '../record/index.js';
import type { Findings } from './findings.js';

/**
 * Walks the ledger once: every line's hash on the one before, positions without a gap, the columns against the line.
 * With an anchor, printed on some certificate in the past, it proves that the ledger of then is still the beginning of
 * the ledger of now.
 */
export function checkLedger(
  raw: RawRows,
  anchors: readonly LedgerMark[],
  findings: Findings,
  visit: (line: LedgerLine) => void = () => undefined,
): void {
  const wanted = new Map(anchors.map((anchor) => [anchor.position, anchor.head.toLowerCase()]));
  const seen = new Map<number, string>([[0, ledgerRoot.toString('hex')]]);
  let head: Buffer = ledgerRoot;
  let position = 0;
  for (const row of raw.ledger()) {
    position += 1;
    const where = `ledger line ${position}`;
    findings.same(where, 'the position', row.position, position);
    head = ledgerHead(head, Buffer.from(row.line, 'utf8'));
    if (!head.equals(row.head)) {
      findings.problem(where, 'the line does not fit the chain');
      head = row.head;
    }
    if (wanted.has(position)) seen.set(position, row.head.toString('hex'));
    const line = findings.tried(where, () => JSON.parse(row.line) as LedgerLine);
    if (!line) continue;
    for (const key of ['position', 'kind', 'test', 'subject'] as const) findings.same(where, key, row[key], line[key]);
    if (!actKinds.includes(line.kind)) findings.problem(where, `"${line.kind}" is no kind of act`);
    findings.tried(where, () => visit(line));
  }
  findings.counts.ledgerLines = position;
  for (const { position: at, head: expected } of anchors) {
    const there = seen.get(at);
    if (there === undefined)
      findings.problem(`anchor, ledger position ${at}`, `the ledger ends at ${position}: newer lines were cut off`);
    else if (there !== expected.toLowerCase())
      findings.problem(
        `anchor, ledger position ${at}`,
        'the ledger there is another than the anchor says: it was rebuilt',
      );
  }
  if (anchors.length === 0)
    findings.notChecked(
      'whether the newest end of the ledger was cut off, or all of it rebuilt: give an --anchor, a certificate PDF or the ledger position and head printed on one',
    );
  else {
    const kept = anchors.filter(({ position: at, head: expected }) => seen.get(at) === expected.toLowerCase());
    if (kept.length > 0)
      findings.checked(
        `the ledger still holds ${kept.map(({ position: at }) => `position ${at}`).join(', ')} as it was, and so every line before`,
      );
    const newest = Math.max(...anchors.map(({ position: at }) => at));
    findings.notChecked(
      `whether lines after position ${newest} were cut off: no anchor reaches further (the ledger ends at ${position})`,
    );
  }
}
