/**
 * Tables of the archive, version 1. They hold what the benches' stores hold, byte for byte: ledger lines, headers,
 * packed links, seals, kept files. Columns beside those are drawn from them by the guards as they arrive.
 *
 * Traces and tests are parted by the year in which the test was started, ledgers by bench: an archive of ten years and
 * a hundred benches is read a year, or a bench, at a time.
 */
export const tables = `
CREATE SCHEMA dwellmark;
SET search_path = dwellmark, public;
CREATE EXTENSION IF NOT EXISTS pg_trgm SCHEMA public;

CREATE TABLE about (version integer NOT NULL, made_at timestamptz NOT NULL DEFAULT now());
INSERT INTO about (version) VALUES (1);

CREATE TABLE bench (
  id          integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  name        text NOT NULL CHECK (name ~ '^[^/@[:cntrl:]]{1,60}$'),
  root        bytea NOT NULL CHECK (length(root) = 32),
  login       name NOT NULL DEFAULT session_user,
  enrolled_at timestamptz NOT NULL DEFAULT now(),
  UNIQUE (login, name),
  UNIQUE (login, root)
);

CREATE TABLE ledger (
  bench    integer NOT NULL REFERENCES bench (id),
  position integer NOT NULL CHECK (position > 0),
  at       timestamptz NOT NULL,
  kind     text NOT NULL,
  test     text,
  subject  text,
  line     text NOT NULL,
  head     bytea NOT NULL CHECK (length(head) = 32),
  PRIMARY KEY (bench, position)
) PARTITION BY HASH (bench);
CREATE INDEX ledger_kind ON ledger (bench, kind, subject);
CREATE INDEX ledger_signed ON ledger (subject) WHERE kind = 'signed';
CREATE INDEX ledger_test ON ledger (bench, test, kind) WHERE test IS NOT NULL;

CREATE TABLE attachment (
  bench  integer NOT NULL REFERENCES bench (id),
  sha256 bytea NOT NULL CHECK (sha256 = sha256(bytes)),
  media  text NOT NULL,
  bytes  bytea NOT NULL,
  PRIMARY KEY (bench, sha256)
);

CREATE TABLE test (
  bench      integer NOT NULL REFERENCES bench (id),
  test       text NOT NULL,
  year       smallint NOT NULL,
  started_at timestamptz NOT NULL,
  customer   text NOT NULL,
  serial     text NOT NULL,
  work_order text NOT NULL,
  gauge      text NOT NULL,
  gauges     text[] NOT NULL,
  technician text NOT NULL,
  procedure  text NOT NULL,
  header     text NOT NULL,
  head       bytea NOT NULL CHECK (length(head) = 32),
  PRIMARY KEY (bench, test, year)
) PARTITION BY RANGE (year);
CREATE INDEX test_started ON test (started_at DESC);
CREATE INDEX test_bench ON test (bench, started_at DESC);
CREATE INDEX test_gauges ON test USING gin (gauges);
CREATE INDEX test_words ON test USING gin
  ((lower(customer || E'\\n' || serial || E'\\n' || work_order || E'\\n' || technician)) public.gin_trgm_ops);

CREATE TABLE block (
  bench     integer NOT NULL,
  test      text NOT NULL,
  year      smallint NOT NULL,
  first_seq integer NOT NULL CHECK (first_seq > 0),
  links     integer NOT NULL CHECK (links > 0),
  readings  integer NOT NULL,
  first_us  bigint, last_us bigint,
  first_pa  bigint, last_pa bigint, min_pa bigint, max_pa bigint,
  head      bytea NOT NULL CHECK (length(head) = 32),
  payload   bytea NOT NULL,
  PRIMARY KEY (bench, test, year, first_seq)
) PARTITION BY RANGE (year);
ALTER TABLE block ALTER payload SET STORAGE EXTERNAL;

CREATE TABLE seal (
  bench      integer NOT NULL,
  test       text NOT NULL,
  year       smallint NOT NULL,
  started_at timestamptz NOT NULL,
  verdict    text NOT NULL,
  readings   integer NOT NULL,
  seal       text NOT NULL,
  head       bytea NOT NULL CHECK (length(head) = 32),
  words      text NOT NULL,
  PRIMARY KEY (bench, test, year)
) PARTITION BY RANGE (year);
CREATE INDEX seal_verdict ON seal (verdict, started_at DESC);
CREATE INDEX seal_words ON seal USING gin (to_tsvector('simple', words));
`;

const ledgerParts = 8;
const partedByYear = ['test', 'block', 'seal'] as const;

/** Partitions for a range of years, and one for years nobody thought of. */
export function partitions(firstYear: number, lastYear: number): string {
  const lines = Array.from(
    { length: ledgerParts },
    (_, part) =>
      `CREATE TABLE ledger_${part} PARTITION OF ledger FOR VALUES WITH (MODULUS ${ledgerParts}, REMAINDER ${part});`,
  );
  for (const table of partedByYear) {
    lines.push(`CREATE TABLE ${table}_other PARTITION OF ${table} DEFAULT;`);
    for (let year = firstYear; year <= lastYear; year += 1)
      lines.push(`CREATE TABLE ${table}_${year} PARTITION OF ${table} FOR VALUES FROM (${year}) TO (${year + 1});`);
  }
  return lines.join('\n');
}
