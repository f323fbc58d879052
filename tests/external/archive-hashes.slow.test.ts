import { rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { Client } from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openArchive, prepareArchive, push } from '../../src/archive/index.js';
import { filledStore } from '../archive/benches.js';
import { type PostgresServer, startPostgres } from '../archive/postgres-server.js';
import { type Chance, chance } from '../evaluation/trace-generator.js';
import { scratchFolder } from '../record/sample-test.js';

/**
 * The hash chains of a record and of an archive by PostgreSQL's own `sha256`, in a query over copied rows: no function,
 * trigger or line of the program takes part. Domains, order and packing are those of the record's format, as the check
 * in python3 (record-elsewhere) reads them from a bundle.
 */
const domain = (name: string): string => `convert_to('dwellmark ${name} 1', 'UTF8') || '\\x00'::bytea`;
const octet = (n: number): string => `get_byte(b.payload, least(c.place + ${n}, length(b.payload) - 1))`;

/** Rows whose head is another than what is hashed comes to, and how many were computed. */
const wrong = `
WITH RECURSIVE acts (position, head) AS (
  SELECT 0, decode(repeat('00', 32), 'hex')
  UNION ALL
  SELECT l.position, sha256(${domain('ledger')} || c.head || convert_to(l.line, 'UTF8'))
    FROM acts c JOIN ledger l ON l.position = c.position + 1
), headers AS (
  SELECT test, sha256(${domain('header')} || convert_to(header, 'UTF8')) AS head FROM test
), links (test, first_seq, size, place, seq, head) AS (
  SELECT test, 1, 0, 0, 1, head FROM headers
  UNION ALL
  SELECT c.test, b.first_seq, length(b.payload), part.at + part.bytes, c.seq + 1,
      sha256(${domain('link')} || c.head || int4send(c.seq) || substr(b.payload, c.place + 1, 1)
        || substr(b.payload, part.at + 1, part.bytes))
    FROM (SELECT test, CASE WHEN place >= size THEN seq ELSE first_seq END AS first_seq,
            CASE WHEN place >= size THEN 0 ELSE place END AS place, size, seq, head FROM links) c
    JOIN block b ON b.test = c.test AND b.first_seq = c.first_seq
    CROSS JOIN LATERAL (SELECT
      CASE WHEN ${octet(1)} < 128 THEN c.place + 2 WHEN ${octet(2)} < 128 THEN c.place + 3 ELSE c.place + 4 END AS at,
      CASE WHEN ${octet(1)} < 128 THEN ${octet(1)}
        WHEN ${octet(2)} < 128 THEN (${octet(1)} & 127) + 128 * ${octet(2)}
        ELSE (${octet(1)} & 127) + 128 * (${octet(2)} & 127) + 16384 * ${octet(3)} END AS bytes) part
), ends AS (
  SELECT DISTINCT ON (test) test, seq - 1 AS seq, head FROM links ORDER BY test, seq DESC
), checked AS (
  SELECT 'ledger ' || l.position AS what, l.head = c.head AS good FROM ledger l LEFT JOIN acts c USING (position)
  UNION ALL SELECT 'header of ' || t.test, t.head = h.head FROM test t JOIN headers h USING (test)
  UNION ALL SELECT 'entries of ' || b.test || ' from ' || b.first_seq, EXISTS (SELECT FROM links c
      WHERE c.test = b.test AND c.seq = b.first_seq + b.links AND c.head = b.head) FROM block b
  UNION ALL SELECT 'seal of ' || s.test, s.head = sha256(${domain('seal')} || e.head || convert_to(s.seal, 'UTF8'))
      FROM seal s JOIN ends e USING (test)
)
SELECT what, coalesce(good, false) AS good FROM checked`;

const tables = `
CREATE TABLE ledger (position integer PRIMARY KEY, line text, head bytea);
CREATE TABLE test (test text PRIMARY KEY, header text, head bytea);
CREATE TABLE block (test text, first_seq integer, links integer, head bytea, payload bytea, PRIMARY KEY (test, first_seq));
CREATE TABLE seal (test text PRIMARY KEY, head bytea, seal text);`;

/** The record's rows as SQLite holds them, by the columns of the tables above. */
const copied: Readonly<Record<string, string>> = {
  ledger: 'SELECT position, line, head FROM ledger',
  test: 'SELECT t.test, h.header, t.head FROM test t JOIN header h ON h.test = t.id',
  block: 'SELECT t.test, b.first_seq, b.links, b.head, b.payload FROM block b JOIN test t ON t.id = b.test',
  seal: 'SELECT t.test, s.head, s.seal FROM seal s JOIN test t ON t.id = s.test',
};

const seed = Number(process.env.DWELLMARK_SEED ?? Date.now() % 2 ** 31);
const folder = scratchFolder();
const path = join(folder, 'bench.db');
let server: PostgresServer;
let client: Client;

const problems = async (schema: string): Promise<{ readonly checked: number; readonly bad: readonly string[] }> => {
  await client.query(`SET search_path = ${schema}`);
  const { rows } = await client.query<{ what: string; good: boolean }>(wrong);
  return { checked: rows.length, bad: rows.filter(({ good }) => !good).map(({ what }) => what) };
};

beforeAll(async () => {
  server = await startPostgres();
  const store = filledStore(path, 3, 12);
  const url = await server.database('hashes');
  await prepareArchive(url, 2026);
  await server.login('hasher', 'dwellmark_bench');
  const archive = await openArchive(server.url('hashes', 'hasher'));
  await push(archive, store, { bench: 'Bench 3' });
  await archive.close();
  store.close();
  client = new Client(url);
  await client.connect();
  await client.query(`CREATE SCHEMA copied; SET search_path = copied; ${tables}`);
  const sqlite = new Database(path, { readonly: true });
  for (const [table, query] of Object.entries(copied))
    for (const row of sqlite.prepare(query).all() as Record<string, unknown>[]) {
      const names = Object.keys(row);
      const marks = names.map((_, i) => `$${i + 1}`).join(', ');
      await client.query(`INSERT INTO ${table} (${names.join(', ')}) VALUES (${marks})`, Object.values(row));
    }
  sqlite.close();
  await client.query(`CREATE SCHEMA archived; SET search_path = archived; ${tables}
    INSERT INTO ledger SELECT position, line, head FROM dwellmark.ledger;
    INSERT INTO test SELECT test, header, head FROM dwellmark.test;
    INSERT INTO block SELECT test, first_seq, links, head, payload FROM dwellmark.block;
    INSERT INTO seal SELECT test, head, seal FROM dwellmark.seal`);
}, 120_000);
afterAll(async () => {
  await client.end();
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

describe("PostgreSQL's own sha256 over copied rows", () => {
  it.each(['copied', 'archived'])('finds every head of the rows that were %s', async (schema) => {
    const { checked, bad } = await problems(schema);
    expect(bad).toEqual([]);
    // 12 sealed tests and an open one: a ledger line, a header, entries and a seal each, and more.
    expect(checked).toBeGreaterThan(4 * 12);
  });

  it(`finds a byte changed anywhere in what is hashed, 40 times (DWELLMARK_SEED=${seed})`, async () => {
    const source = chance(seed);
    for (let i = 0; i < 40; i++) {
      await client.query('BEGIN');
      const where = await changeOneByte(source);
      expect((await problems('copied')).bad, where).not.toEqual([]);
      await client.query('ROLLBACK');
    }
    expect((await problems('copied')).bad).toEqual([]);
  });
});

/** Another byte somewhere in a row of one of the four tables. */
async function changeOneByte(source: Chance): Promise<string> {
  const pick = (size: number): number => Math.floor(source.uniform() * size);
  const columns = [
    ['ledger', 'line'],
    ['test', 'header'],
    ['block', 'payload'],
    ['seal', 'seal'],
  ] as const;
  const [table, column] = columns[pick(columns.length)] ?? columns[0];
  await client.query('SET search_path = copied');
  const { rows } = await client.query(`SELECT ctid::text AS at, ${column} AS held FROM ${table} ORDER BY ctid`);
  const { at, held } = rows[pick(rows.length)];
  const bytes = Buffer.from(held);
  let place = pick(bytes.length);
  // Texts stay texts: one ASCII sign for another.
  const isText = typeof held === 'string';
  while (isText && (bytes[place] ?? 0) > 0x7f) place = (place + 1) % bytes.length;
  const old = bytes[place] ?? 0;
  bytes[place] = isText ? (old === 0x41 ? 0x42 : 0x41) : old ^ (1 << pick(8));
  const value = isText ? bytes.toString('utf8') : bytes;
  await client.query(`UPDATE ${table} SET ${column} = $1 WHERE ctid = $2::tid`, [value, at]);
  return `${table}.${column} ${at}, byte ${place}`;
}
