/** Tables that only grow, and what makes a row of each one and the same. */
const appendOnly: Readonly<Record<string, string>> = {
  ledger: 'position = NEW.position',
  test: 'id = NEW.id OR test = NEW.test',
  header: 'test = NEW.test',
  block: 'id = NEW.id OR (test = NEW.test AND first_seq = NEW.first_seq)',
  seal: 'test = NEW.test',
  attachment: 'sha256 = NEW.sha256',
  fresh: 'test = NEW.test AND seq = NEW.seq',
};

const refusal = (table: string): string => `SELECT RAISE(ABORT, 'the record is append-only: ${table}')`;

/**
 * Triggers that refuse UPDATE, DELETE, and the INSERT OR REPLACE that walks past those two. A fresh link alone may go,
 * and only once a block carries its number.
 */
export const guardTriggers: string = Object.entries(appendOnly)
  .map(([table, same]) => {
    const packed =
      table === 'fresh'
        ? 'WHEN NOT EXISTS (SELECT 1 FROM block WHERE test = OLD.test AND OLD.seq >= first_seq AND OLD.seq < first_seq + links)'
        : '';
    return `
CREATE TRIGGER ${table}_no_update BEFORE UPDATE ON ${table} BEGIN ${refusal(table)}; END;
CREATE TRIGGER ${table}_no_delete BEFORE DELETE ON ${table} ${packed} BEGIN ${refusal(table)}; END;
CREATE TRIGGER ${table}_no_replace BEFORE INSERT ON ${table}
WHEN EXISTS (SELECT 1 FROM ${table} WHERE ${same}) BEGIN ${refusal(table)}; END;`;
  })
  .join('\n')
  .concat(`
CREATE TRIGGER ledger_no_second_certificate BEFORE INSERT ON ledger
WHEN NEW.kind = 'certificate issued' AND EXISTS
  (SELECT 1 FROM ledger WHERE kind = 'certificate issued' AND subject = NEW.subject) BEGIN ${refusal('ledger')}; END;
CREATE TRIGGER ledger_no_second_void BEFORE INSERT ON ledger
WHEN NEW.kind IN ('certificate voided', 'test voided') AND EXISTS
  (SELECT 1 FROM ledger WHERE kind = NEW.kind AND subject = NEW.subject) BEGIN ${refusal('ledger')}; END;`);
