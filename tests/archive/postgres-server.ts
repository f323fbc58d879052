import { execFileSync } from 'node:child_process';
import { chownSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import path from 'node:path';
import { Client } from 'pg';

/** A PostgreSQL server of our own on loopback, in a folder that goes with it. */
export interface PostgresServer {
  readonly port: number;
  /** Address of a database for a login. */
  url(database: string, login?: string): string;
  /** A new empty database. */
  database(name: string): Promise<string>;
  /** A login of its own, in one of the archive's roles. */
  login(name: string, role: 'dwellmark_bench' | 'dwellmark_reader'): Promise<void>;
  /** Cuts every connection of a login: returns how many there were. */
  cut(login: string): Promise<number>;
  stop(): Promise<void>;
}

const owner = 'archivist';

/** Starts Debian's newest PostgreSQL. The server refuses to run as root, so it runs as `postgres` where we are root. */
export async function startPostgres(): Promise<PostgresServer> {
  const folder = mkdtempSync('/tmp/dwellmark-pg-');
  const data = path.join(folder, 'data');
  const asRoot = process.getuid?.() === 0;
  if (asRoot) chownSync(folder, ...idsOf('postgres'));
  const run = (program: string, ...args: string[]): void => {
    const command = [path.join(programs(), program), ...args];
    const [first = '', ...rest] = asRoot ? ['runuser', '-u', 'postgres', '--', ...command] : command;
    execFileSync(first, rest, { cwd: folder, stdio: 'ignore' });
  };
  const port = await freePort();
  run('initdb', '--pgdata', data, '--auth', 'trust', '--username', owner, '--encoding', 'UTF8', '--no-locale');
  const options = `-p ${port} -c listen_addresses=127.0.0.1 -c unix_socket_directories=${folder} -c fsync=on`;
  run('pg_ctl', '--pgdata', data, '--wait', '--log', path.join(folder, 'log'), '--options', options, 'start');
  const url = (database: string, login = owner): string => `postgres://${login}@127.0.0.1:${port}/${database}`;
  const client = new Client(url('postgres'));
  await client.connect();
  return {
    port,
    url,
    database: async (name) => {
      await client.query(`CREATE DATABASE ${client.escapeIdentifier(name)}`);
      return url(name);
    },
    login: async (name, role) => {
      await client.query(`CREATE ROLE ${client.escapeIdentifier(name)} LOGIN IN ROLE ${role}`);
    },
    cut: async (login) =>
      (await client.query('SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = $1', [login])).rows
        .length,
    stop: async () => {
      await client.end();
      run('pg_ctl', '--pgdata', data, '--mode', 'immediate', 'stop');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function programs(): string {
  const base = '/usr/lib/postgresql';
  const newest = readdirSync(base)
    .map(Number)
    .sort((a, b) => b - a)[0];
  return path.join(base, String(newest), 'bin');
}

const idsOf = (user: string): [number, number] => {
  const id = (flag: string): number => Number(execFileSync('id', [flag, user], { encoding: 'utf8' }));
  return [id('-u'), id('-g')];
};

const freePort = (): Promise<number> =>
  new Promise((resolve, reject) => {
    const server = createServer();
    server.on('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
    });
  });
