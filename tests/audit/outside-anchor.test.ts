import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { outsideAnchor, paperRecord, verifyStore, verifyTest } from '../../src/audit/index.js';
import { bundleLines, openStore } from '../../src/record/index.js';
import { scratchFolder } from '../record/sample-test.js';
import { sampleJudge, smallStore } from './sample-store.js';

const folder = scratchFolder();

describe('a file from outside as an anchor', () => {
  const path = join(folder, 'anchored.db');
  const { store, heads } = smallStore(path);
  const bundle = [...bundleLines(store, 'T-2026-0001')].join('');
  const record = paperRecord(store, 'T-2026-0002');
  const end = store.ledgerHead();
  store.close();

  it('a bundle and a record.json give the end of the ledger of then, every line in them, and the sealed test', async () => {
    const fromBundle = await outsideAnchor(Buffer.from(bundle), 'bundle');
    expect(fromBundle).toMatchObject({ problems: [], sealed: { test: 'T-2026-0001', head: heads[0] } });
    expect(fromBundle.marks.at(-1)).toEqual(end);
    expect(fromBundle.marks.length).toBeGreaterThan(5);
    expect((await outsideAnchor(Buffer.from(record), 'record.json')).sealed).toEqual({
      test: 'T-2026-0002',
      head: heads[1],
      number: null,
    });
  });

  it('proves that the store still contains it, and says where its reach ends', async () => {
    const paper = await outsideAnchor(Buffer.from(bundle), 'bundle');
    const reader = openStore(path, { mode: 'read' });
    const report = verifyTest(reader, 'T-2026-0001', sampleJudge, { papers: [paper] });
    reader.close();
    expect(report.problems).toEqual([]);
    expect(report.checked.join('\n')).toContain('test T-2026-0001: the store still holds the record');
    expect(report.notChecked.join('\n')).toContain(`lines after position ${end.position} were cut off`);
  });

  it('finds a store whose newest end was cut off', async () => {
    const cut = join(folder, 'cut.db');
    const { store: second } = smallStore(cut);
    const paper = await outsideAnchor(Buffer.from([...bundleLines(second, 'T-2026-0002')].join('')), 'paper');
    second.close();
    const db = new Database(cut);
    db.exec('DROP TRIGGER ledger_no_delete; DELETE FROM ledger WHERE position > 12');
    db.close();
    const reader = openStore(cut, { mode: 'read' });
    const problems = verifyStore(reader, sampleJudge, { papers: [paper] }).problems.map(({ what }) => what);
    reader.close();
    expect(problems).toContain('the ledger ends at 12: newer lines were cut off');
  });

  it('finds a store that holds another record under the same number', async () => {
    const paper = { ...(await outsideAnchor(Buffer.from(bundle), 'paper')), marks: [] };
    const reader = openStore(path, { mode: 'read' });
    const other = { ...paper, sealed: { test: 'T-2026-0001', head: '0'.repeat(64), number: null } };
    const gone = { ...paper, sealed: { test: 'T-2025-0044', head: '0'.repeat(64), number: null } };
    const problems = verifyStore(reader, null, { papers: [other, gone] }).problems;
    reader.close();
    expect(problems).toEqual([
      { where: 'anchor, test T-2026-0001', what: 'the store holds another record of it than the anchor' },
      { where: 'anchor, test T-2025-0044', what: 'is not in the store' },
    ]);
  });

  it('a paper that was altered itself is told as that', async () => {
    const letter = bundle.indexOf('Kürnwater');
    const changed = `${bundle.slice(0, letter)}X${bundle.slice(letter + 1)}`;
    const paper = await outsideAnchor(Buffer.from(changed), 'changed.jsonl');
    expect(paper.problems.map(({ where }) => where.split(',')[0])).toContain('changed.jsonl');
    await expect(outsideAnchor(Buffer.from('no such thing'), 'x.txt')).rejects.toThrow('no certificate, record.json');
  });
});
