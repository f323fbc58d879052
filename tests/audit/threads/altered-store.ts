import { judgeStored } from '../../../src/audit/index.js';
import { behindItsBack } from '../behind-its-back.js';
import { plantForgeries } from '../forgeries.js';

/** What is wrong with every tenth test, in turn. */
const changes: readonly ((id: number) => string)[] = [
  (id) => `UPDATE test SET customer = 'Other' WHERE id = ${id}`,
  (id) => `UPDATE block SET min_pa = min_pa - 1 WHERE test = ${id}`,
  (id) => `UPDATE seal SET seal = replace(seal, '"evaluationVersion":"', '"evaluationVersion":"9') WHERE test = ${id}`,
  (id) => `DELETE FROM seal WHERE test = ${id}`,
  (id) => `UPDATE header SET header = 'no header' WHERE test = ${id}`,
  (id) => `UPDATE block SET payload = x'00' WHERE test = ${id}`,
  (id) => `DELETE FROM header WHERE test = ${id}`,
];

/** Judged and sealed tests with forgeries among them, every tenth altered behind the store's back. */
export function alteredStore(path: string, size: { tests: number; seconds: number }): void {
  plantForgeries(path, size, judgeStored).store.close();
  behindItsBack(path, (db) => {
    for (let id = 10; id <= size.tests; id += 10) db.exec(changes[(id / 10 - 1) % changes.length]?.(id) ?? '');
  });
}
