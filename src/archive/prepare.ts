import { archiveError } from './archive-error.js';
import { Archive } from './connect.js';
import { guards, rights } from './guards.js';
import { partitions, tables } from './schema.js';

const yearsAhead = 10;

/**
 * Makes the archive's tables, guards and rights in a database, in one transaction. Needs the owner of the database,
 * with the right to create roles where `dwellmark_bench` and `dwellmark_reader` are not there yet.
 * @returns False when there was an archive already: nothing is changed then.
 */
export async function prepareArchive(url: string, year: number): Promise<boolean> {
  const archive = new Archive(url);
  try {
    await archive.connect();
    const [schema] = await archive.rows("SELECT 1 FROM pg_namespace WHERE nspname = 'dwellmark'");
    if (schema) return false;
    await archive.together(() =>
      archive.script([tables, partitions(year - 1, year + yearsAhead), guards, rights].join('\n')),
    );
    return true;
  } catch (cause) {
    throw archiveError(cause, archive.name);
  } finally {
    await archive.close();
  }
}
