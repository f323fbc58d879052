import { Client, type QueryResultRow } from 'pg';
import { DwellmarkError } from '../units/index.js';
import { archiveError } from './archive-error.js';

/** Version of the tables that this program knows. */
export const archiveVersion = 1;

/** A connection to the archive; `close` it when done. Its errors are PostgreSQL's own: {@link archiveError} tells them. */
export class Archive {
  /** Where it is, without a password. */
  readonly name: string;
  readonly #url: string;
  #client: Client | undefined;
  #lost: Error | undefined;

  constructor(url: string) {
    this.name = addressOf(url);
    this.#url = url;
  }

  /** Connects, anew where the line was lost. */
  async connect(): Promise<void> {
    await this.close();
    const client = new Client({
      connectionString: this.#url,
      application_name: 'dwellmark',
      connectionTimeoutMillis: 10_000,
      keepAlive: true,
      ssl: tlsFor(this.#url),
    });
    // A line lost while nothing is asked shows at the next question.
    this.#lost = undefined;
    client.on('error', (cause) => {
      this.#lost = Object.assign(new Error('the line was lost', { cause }), { code: '08006' });
    });
    this.#client = client;
    await client.connect();
    await this.rows('SET search_path = dwellmark, public');
  }

  /** Rows of one statement, its values as `$1`, `$2` and so on. */
  async rows<Row extends QueryResultRow>(text: string, values: readonly unknown[] = []): Promise<Row[]> {
    if (this.#lost) throw this.#lost;
    if (!this.#client) throw new Error('the archive is not connected');
    try {
      return (await this.#client.query<Row>(text, [...values])).rows;
    } catch (cause) {
      // Of a line that went just now the client says only that it can't be asked, without a code.
      throw this.#lost ?? cause;
    }
  }

  /** Several statements with nothing to fill in. */
  async script(text: string): Promise<void> {
    await this.#client?.query(text);
  }

  /** All of it or nothing. */
  async together(work: () => Promise<void>): Promise<void> {
    await this.rows('BEGIN');
    try {
      await work();
      await this.rows('COMMIT');
    } catch (cause) {
      await this.rows('ROLLBACK').catch(() => undefined);
      throw cause;
    }
  }

  async close(): Promise<void> {
    const client = this.#client;
    this.#client = undefined;
    await client?.end().catch(() => undefined);
  }
}

/**
 * Connects to a prepared archive.
 * @param url `postgres://login@host/database`; what it leaves out comes from PGHOST, PGUSER, PGPASSWORD and the like.
 * @throws DwellmarkError when nobody answers, the login is refused, or the database holds no archive this program knows.
 */
export async function openArchive(url: string): Promise<Archive> {
  const archive = new Archive(url);
  try {
    await archive.connect();
    const [about] = await archive.rows<{ version: number }>('SELECT version FROM about');
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

/**
 * Over a network the archive is spoken to by TLS, its certificate checked; `sslmode` in the address says otherwise, or
 * names the authority (`sslrootcert`). On this computer (socket, loopback) none is needed.
 */
export function tlsFor(url: string): { readonly rejectUnauthorized: true } | undefined {
  const { hostname, searchParams } = new URL(url);
  const host = searchParams.get('host') ?? (hostname || process.env.PGHOST || '');
  const isHere = host === '' || host.startsWith('/') || /^(localhost|127(\.\d+){3}|\[?::1\]?)$/.test(host);
  return isHere || searchParams.has('sslmode') || process.env.PGSSLMODE ? undefined : { rejectUnauthorized: true };
}

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
