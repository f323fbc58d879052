import Database from 'better-sqlite3';
import { openArchive, push } from '../../src/archive/index.js';
import { canonicalJson, type LedgerLine, ledgerHead, ledgerRoot, type Store } from '../../src/record/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, writeTest } from '../record/sample-test.js';
import type { PostgresServer } from './postgres-server.js';

/** A bench's store with a signer, a calibration with its paper, and so many sealed tests. */
export function filledStore(path: string, bench: number, tests: number): Store {
  const store = newStore(path);
  store.addSigner({ id: 'qa', name: 'Q. Marsh', role: 'qa', organisation: 'Kestrel Hydraulics', publicKey: 'AAAA' });
  for (let number = 1; number <= tests; number += 1) {
    const header = sampleHeader(`T-2026-${String(number).padStart(4, '0')}`, { bench: `Bench ${bench}` });
    writeTest(store, header, asInputs(sampleReadings({ seconds: 20, seed: bench * 10_000 + number })));
  }
  store.beginTest(sampleHeader('T-2026-9999'));
  return store;
}

/** Every hashed byte of a store, and the heads beside them. */
export function allRows(store: Store): unknown {
  return {
    ledger: [...store.raw.ledger()],
    tests: store.raw.testNames().map((name) => {
      const raw = store.raw.test(name);
      return raw && { ...raw, id: 0, blocks: [...store.raw.blocks(raw.id)] };
    }),
    keptFiles: [...store.raw.attachments()],
  };
}

/** Pushes while the server cuts the line at random moments; returns how often it was cut. */
export async function pushWithLostLines(
  server: PostgresServer,
  url: string,
  store: Store,
  bench: string,
  { cuts, random }: { cuts: number; random: () => number },
): Promise<number> {
  const login = new URL(url).username;
  let lost = 0;
  let pushing = true;
  const cutter = (async () => {
    while (pushing && lost < cuts) {
      await new Promise((resolve) => setTimeout(resolve, 5 + random() * 60));
      lost += await server.cut(login);
    }
  })();
  for (let done = false; !done; ) {
    const archive = await openArchive(url).catch(() => null);
    if (!archive) continue;
    try {
      await push(archive, store, { bench, tries: 3 });
      done = lost >= cuts;
    } catch (cause) {
      if (!/line to the archive was lost/.test(String(cause))) throw cause;
    } finally {
      await archive.close();
    }
  }
  pushing = false;
  await cutter;
  return lost;
}

/** Changes a ledger line as someone with the file would, and builds every line after it anew. */
export function rebuiltFrom(path: string, position: number): void {
  const db = new Database(path);
  for (const { name } of db.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").all() as {
    name: string;
  }[])
    db.exec(`DROP TRIGGER ${name}`);
  const rows = db.prepare('SELECT position, line FROM ledger ORDER BY position').all() as {
    position: number;
    line: string;
  }[];
  let head: Buffer = ledgerRoot;
  for (const row of rows) {
    const line = JSON.parse(row.line) as LedgerLine;
    const text = row.position === position ? canonicalJson({ ...line, at: '2026-03-02T08:00:00.000Z' }) : row.line;
    head = ledgerHead(head, Buffer.from(text, 'utf8'));
    db.prepare('UPDATE ledger SET line = ?, head = ? WHERE position = ?').run(text, head, row.position);
  }
  db.close();
}
