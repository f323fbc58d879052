/** 'dwmk': what `file` and every other reader of SQLite headers can tell a store by. */
export const applicationId = 0x64776d6b;

/**
 * Version 1. What is hashed: `test.header`, `fresh.payload`, `block.payload`, `seal.seal`, `ledger.line`,
 * `attachment.bytes`. Every other column is drawn from those for quick finding, and is checked against them by verify.
 */
const version1 = `
CREATE TABLE ledger (
  position INTEGER PRIMARY KEY,
  kind     TEXT NOT NULL,
  test     TEXT,
  subject  TEXT,
  line     TEXT NOT NULL,
  head     BLOB NOT NULL CHECK (length(head) = 32)
) STRICT;
CREATE INDEX ledger_kind ON ledger (kind, subject);
CREATE INDEX ledger_test ON ledger (test, kind) WHERE test IS NOT NULL;
CREATE UNIQUE INDEX ledger_certificate ON ledger (subject) WHERE kind = 'certificate issued';
CREATE UNIQUE INDEX ledger_voided ON ledger (kind, subject) WHERE kind IN ('certificate voided', 'test voided');

CREATE TABLE test (
  id          INTEGER PRIMARY KEY,
  test        TEXT NOT NULL UNIQUE,
  head        BLOB NOT NULL CHECK (length(head) = 32),
  started_ms  INTEGER NOT NULL,
  started_at  TEXT NOT NULL,
  customer    TEXT NOT NULL,
  serial      TEXT NOT NULL,
  work_order  TEXT NOT NULL,
  gauge       TEXT NOT NULL,
  technician  TEXT NOT NULL,
  procedure   TEXT NOT NULL,
  origin      TEXT NOT NULL,
  customer_folded   TEXT NOT NULL,
  serial_folded     TEXT NOT NULL,
  work_order_folded TEXT NOT NULL,
  gauge_folded      TEXT NOT NULL,
  technician_folded TEXT NOT NULL,
  procedure_folded  TEXT NOT NULL
) STRICT;
CREATE INDEX test_started ON test (started_ms);
CREATE INDEX test_gauge ON test (gauge, started_ms);
CREATE INDEX test_serial ON test (serial, started_ms);

CREATE TABLE header (
  test   INTEGER PRIMARY KEY REFERENCES test (id),
  header TEXT NOT NULL
) STRICT;

CREATE TABLE fresh (
  test    INTEGER NOT NULL REFERENCES test (id),
  seq     INTEGER NOT NULL,
  kind    INTEGER NOT NULL,
  payload BLOB NOT NULL,
  head    BLOB NOT NULL CHECK (length(head) = 32),
  PRIMARY KEY (test, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE block (
  id        INTEGER PRIMARY KEY,
  test      INTEGER NOT NULL REFERENCES test (id),
  first_seq INTEGER NOT NULL,
  links     INTEGER NOT NULL,
  readings  INTEGER NOT NULL,
  first_us  INTEGER, last_us INTEGER,
  first_pa  INTEGER, last_pa INTEGER, min_pa INTEGER, max_pa INTEGER,
  head      BLOB NOT NULL CHECK (length(head) = 32),
  payload   BLOB NOT NULL,
  UNIQUE (test, first_seq)
) STRICT;

CREATE TABLE seal (
  test      INTEGER PRIMARY KEY REFERENCES test (id),
  verdict   TEXT NOT NULL,
  readings  INTEGER NOT NULL,
  head      BLOB NOT NULL CHECK (length(head) = 32),
  seal      TEXT NOT NULL
) STRICT;
CREATE INDEX seal_verdict ON seal (verdict, test);

CREATE TABLE attachment (
  sha256 TEXT PRIMARY KEY,
  media  TEXT NOT NULL,
  bytes  BLOB NOT NULL
) STRICT;

CREATE VIRTUAL TABLE search USING fts5 (test UNINDEXED, text, tokenize = 'unicode61 remove_diacritics 2');
`;

/** Version 2: a hundred thousand tests are listed without reading the ledger's lines. Indexes alone; no row is touched. */
const version2 = `
DROP INDEX ledger_test;
CREATE INDEX ledger_about ON ledger (test, kind, subject) WHERE test IS NOT NULL;
CREATE INDEX seal_test ON seal (test);
`;

/**
 * Version 3: links of kinds 6 and 7 may stand in the chains, which a program of version 2 can't read. And words are
 * looked for in an index in the order of the start, five times faster than in the rows. No row is touched.
 */
const version3 = `
DROP INDEX test_started;
CREATE INDEX test_found ON test (started_ms, customer_folded, serial_folded, work_order_folded, gauge_folded,
  technician_folded, procedure_folded);
`;

/** One step a version; step n leads from version n to n + 1. No step ever touches a hashed byte. */
export const migrations: readonly string[] = [version1, version2, version3];
