import type Database from 'better-sqlite3';
import type { Shop } from './shop.js';

/** What an insider does to the record's file with the guards taken off, and put back. */
export interface StoreForgery {
  readonly name: string;
  readonly forge: (db: Database.Database, shop: Shop) => void;
  /** What the refusal and the report of verify name. */
  readonly told: RegExp;
}

const passed = (seal: string): string =>
  seal.replaceAll('"verdict":"fail"', '"verdict":"pass"').replaceAll('"verdict":"inconclusive"', '"verdict":"pass"');

const sealOf = (db: Database.Database, test: string): { test: number; seal: string } =>
  db
    .prepare('SELECT seal.test, seal.seal FROM seal JOIN test ON test.id = seal.test WHERE test.test = ?')
    .get(test) as { test: number; seal: string };

const edit = (db: Database.Database, position: number, change: (line: Record<string, unknown>) => void): void => {
  const line = JSON.parse(db.prepare('SELECT line FROM ledger WHERE position = ?').pluck().get(position) as string);
  change(line);
  db.prepare('UPDATE ledger SET line = ? WHERE position = ?').run(JSON.stringify(line), position);
};

/** Each is done to the failed test of the shop, or to the file as a whole. */
export const storeForgeries: readonly StoreForgery[] = [
  {
    name: 'a seal rewritten from fail to pass',
    forge: (db, { failed }) => {
      const { test, seal } = sealOf(db, failed);
      db.prepare("UPDATE seal SET seal = ?, verdict = 'pass' WHERE test = ?").run(passed(seal), test);
    },
    told: /seal/,
  },
  {
    name: 'the verdict in the list alone',
    forge: (db, { failed }) =>
      db.prepare("UPDATE seal SET verdict = 'pass' WHERE test = (SELECT id FROM test WHERE test = ?)").run(failed),
    told: /the verdict in the list/,
  },
  {
    name: 'a limit in the header made wider',
    forge: (db, { failed }) =>
      db
        .prepare(
          `UPDATE header SET header = replace(header, '"customer":"', '"customer":"x') WHERE test = (SELECT id FROM test WHERE test = ?)`,
        )
        .run(failed),
    told: /header/,
  },
  {
    name: 'the readings of a tight cylinder in place of its own',
    forge: (db, { failed, waiting }) =>
      db
        .prepare(
          `UPDATE block SET payload = (SELECT payload FROM block AS other WHERE other.test = (SELECT id FROM test WHERE test = ?)
           AND other.first_seq = block.first_seq) WHERE first_seq = 1 AND test = (SELECT id FROM test WHERE test = ?)`,
        )
        .run(waiting, failed),
    told: /hash chain|readings/,
  },
  {
    name: 'the ledger line of the seal rewritten',
    forge: (db, { failed }) => {
      const position = db
        .prepare("SELECT position FROM ledger WHERE kind = 'test sealed' AND test = ?")
        .pluck()
        .get(failed) as number;
      edit(db, position, (line) => {
        (line.body as { verdict: string }).verdict = 'pass';
      });
    },
    told: /ledger/,
  },
  {
    name: 'a test started later, in the columns alone',
    forge: (db, { failed }) =>
      db.prepare('UPDATE test SET started_ms = started_ms + 86400000 WHERE test = ?').run(failed),
    told: /started_ms/,
  },
  {
    name: 'a gauge hidden from recall, in the columns alone',
    forge: (db, { failed }) =>
      db.prepare("UPDATE test SET gauge = 'SN 9', gauge_folded = 'sn 9' WHERE test = ?").run(failed),
    told: /gauge/,
  },
  {
    name: 'a trigger that swallows voids, its name one that a wildcard hides',
    forge: (db) =>
      db.exec(
        "CREATE TRIGGER sqlitexstat1 BEFORE INSERT ON ledger WHEN NEW.kind LIKE '%void%' BEGIN SELECT RAISE(IGNORE); END",
      ),
    told: /sqlitexstat1/,
  },
  {
    name: 'a table of a name that a wildcard hides',
    forge: (db) => db.exec('CREATE TABLE sqlite9stat (x)'),
    told: /sqlite9stat/,
  },
  {
    name: 'a view in front of nothing',
    forge: (db) => db.exec('CREATE VIEW "sqlite statistics" AS SELECT * FROM ledger'),
    told: /sqlite statistics/,
  },
  {
    name: 'a guard left off',
    forge: (db) => db.exec('CREATE TRIGGER keep_out AFTER INSERT ON seal BEGIN SELECT 1; END'),
    told: /keep_out/,
  },
];
