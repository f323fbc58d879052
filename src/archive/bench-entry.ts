import { type LedgerMark, ledgerRoot } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import type { Archive } from './connect.js';

/** A bench as the archive knows it. */
export interface BenchEntry {
  readonly id: number;
  readonly name: string;
  /** Head of its ledger's first line: what tells this store from every other. */
  readonly root: Buffer;
}

/**
 * Benches as they are shown: with the login where several have one name. A login sees and names its own alone, so that
 * nobody's name is in another's way.
 */
export const shownBenches = `(SELECT id, root, CASE WHEN count(*) OVER (PARTITION BY name) > 1
  THEN name || ' @' || login ELSE name END AS name FROM bench)`;

/**
 * Finds the bench of a store by its root, and enrols it under a name where it is new.
 * @throws DwellmarkError (`input`, `refused`) for a name that is none, or that this login has given to another store.
 */
export async function enrolled(archive: Archive, name: string, root: Buffer): Promise<BenchEntry> {
  const known = async (): Promise<BenchEntry | undefined> =>
    (
      await archive.rows<BenchEntry>('SELECT id, name, root FROM bench WHERE root = $1 AND login = session_user', [
        root,
      ])
    )[0];
  const before = await known();
  if (before) return before;
  if (!/^[^/@\p{Cc}]{1,60}$/u.test(name))
    throw new DwellmarkError('input', `"${name}" is no name of a bench for the archive`, {
      place: { key: 'bench' },
      advice: 'Write at most 60 characters without / and @ in the shop file.',
    });
  await archive.rows('INSERT INTO bench (name, root) VALUES ($1, $2) ON CONFLICT DO NOTHING', [name, root]);
  const entry = await known();
  if (entry) return entry;
  throw new DwellmarkError('refused', `the archive has another bench called "${name}"`, {
    place: { key: 'bench' },
    advice: 'Give this bench its own name in the shop file: its store is another one.',
  });
}

/** All benches that this login may see, by name. */
export const benches = (archive: Archive): Promise<BenchEntry[]> =>
  archive.rows<BenchEntry>(`SELECT id, name, root FROM ${shownBenches} bench ORDER BY name`);

/** A bench by its name. @throws DwellmarkError (`input`) when there is none. */
export async function benchNamed(archive: Archive, name: string): Promise<BenchEntry> {
  const all = await benches(archive);
  const found = all.find((entry) => entry.name === name);
  if (found) return found;
  throw new DwellmarkError('input', `the archive knows no bench "${name}"`, {
    advice:
      all.length === 0
        ? 'Nothing was pushed yet, or this login may not read.'
        : `It knows: ${all.map((entry) => entry.name).join(', ')}.`,
  });
}

/** How far the archive holds a bench's ledger: position 0 and a head of zeros before the first line. */
export async function heldUpTo(archive: Archive, bench: BenchEntry): Promise<LedgerMark> {
  const [last] = await archive.rows<{ position: number; head: Buffer }>(
    'SELECT position, head FROM ledger WHERE bench = $1 ORDER BY position DESC LIMIT 1',
    [bench.id],
  );
  return { position: last?.position ?? 0, head: (last?.head ?? ledgerRoot).toString('hex') };
}
