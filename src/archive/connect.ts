import postgres from 'postgres';
import { DwellmarkError } from '../units/index.js';
import { archiveError } from './archive-error.js';

/** A connection to the archive; `close` it when done. */
export interface Archive {
  /** Where it is, without a password. */
  readonly name: string;
  readonly sql: postgres.Sql;
  close(): Promise<void>;
}

/** Version of the tables that this program knows. */
export const archiveVersion = 1;

/**
 * Connects to a prepared archive.
 * @param url `postgres://login@host/database`; what it leaves out comes from PGHOST, PGUSER, PGPASSWORD and the like.
 * @throws DwellmarkError when nobody answers, the login is refused, or the database holds no archive this program knows.
 */
export async function openArchive(url: string): Promise<Archive> {
  const archive = connect(url);
  try {
    const [about] = await archive.sql<{ version: number }[]>`SELECT version FROM about`;
    if (about?.version !== archiveVersion)
      throw new DwellmarkError(
        'input',
        `the archive has version ${about?.version ?? 'unknown'}; this program knows ${archiveVersion}`,
        { place: { file: archive.name }, advice: 'Use the newer dwellmark that made it; nothing has been changed.' },
      );
    return archive;
  } catch (cause) {
    await archive.close();
    throw archiveError(cause, archive.name);
  }
}

/** The bare connection: to prepare a database that holds no archive yet. */
export function connect(url: string): Archive {
  const address = addressOf(url);
  const sql = postgres(url, {
    max: 1,
    connect_timeout: 10,
    idle_timeout: 0,
    max_lifetime: null,
    onnotice: () => undefined,
    connection: { application_name: 'dwellmark', search_path: 'dwellmark, public' },
    types: { bigint: wholeNumbers },
  });
  return { name: address, sql, close: () => sql.end({ timeout: 2 }) };
}

/** Pascals and microseconds fit a double: 2^53 microseconds are 285 years. */
const wholeNumbers = {
  to: 20,
  from: [20],
  serialize: (value: number): string => String(value),
  parse: (text: string): number => Number(text),
};

/** The URL as it may be shown: no password in it. @throws DwellmarkError (`usage`) when it is none. */
function addressOf(url: string): string {
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (!parsed || !['postgres:', 'postgresql:'].includes(parsed.protocol))
    throw new DwellmarkError('usage', 'this is no address of an archive', {
      place: { key: '--archive' },
      advice: 'Write it as postgres://login@host/database; the password comes from PGPASSWORD.',
    });
  parsed.password = '';
  return parsed.href;
}
