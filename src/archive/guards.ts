/**
 * What the archive checks itself, in the database, as rows arrive: whoever holds a bench's login can add to that
 * bench's chain and do nothing else. Each refusal has a code of its own: `DW001` a fork (another row stands there),
 * `DW002` a gap, `DW003` something that does not fit the hash chain.
 *
 * The hashes are those of the record (src/record/chain/hash-chain.ts), computed here a second time in PL/pgSQL with
 * PostgreSQL's own SHA-256.
 */
export const guards = `
CREATE FUNCTION refuse(code text, said text) RETURNS void LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '%', said USING ERRCODE = code; END $$;

CREATE FUNCTION domain(name text) RETURNS bytea LANGUAGE sql IMMUTABLE AS
$$ SELECT convert_to('dwellmark ' || name || ' 1', 'UTF8') || '\\x00'::bytea $$;

CREATE FUNCTION ledger_arrives() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  held   bytea;
  before bytea := decode(repeat('00', 32), 'hex');
  act    jsonb;
BEGIN
  SELECT head INTO held FROM dwellmark.ledger WHERE bench = NEW.bench AND position = NEW.position;
  IF FOUND THEN
    IF held = NEW.head THEN RETURN NULL; END IF;
    PERFORM dwellmark.refuse('DW001', format('the archive holds another ledger line %s', NEW.position));
  END IF;
  IF NEW.position > 1 THEN
    SELECT head INTO before FROM dwellmark.ledger WHERE bench = NEW.bench AND position = NEW.position - 1;
    IF NOT FOUND THEN
      PERFORM dwellmark.refuse('DW002', format('ledger line %s came, and line %s is not there', NEW.position, NEW.position - 1));
    END IF;
  ELSIF NEW.head IS DISTINCT FROM (SELECT root FROM dwellmark.bench WHERE id = NEW.bench) THEN
    PERFORM dwellmark.refuse('DW001', 'the first ledger line is not the one this bench was enrolled with');
  END IF;
  IF sha256(dwellmark.domain('ledger') || before || convert_to(NEW.line, 'UTF8')) <> NEW.head THEN
    PERFORM dwellmark.refuse('DW003', format('ledger line %s does not fit the chain', NEW.position));
  END IF;
  act := NEW.line::jsonb;
  IF (act ->> 'position')::integer IS DISTINCT FROM NEW.position THEN
    PERFORM dwellmark.refuse('DW003', format('ledger line %s says it is line %s', NEW.position, act ->> 'position'));
  END IF;
  NEW.at := act ->> 'at';
  NEW.kind := act ->> 'kind';
  NEW.test := act ->> 'test';
  NEW.subject := act ->> 'subject';
  IF NEW.kind = 'test sealed' AND NOT EXISTS (SELECT FROM dwellmark.seal WHERE bench = NEW.bench AND test = NEW.test
      AND head = decode(act -> 'body' ->> 'head', 'hex') AND verdict = act -> 'body' ->> 'verdict') THEN
    PERFORM dwellmark.refuse('DW003', format('ledger line %s seals test %s, whose record is not here or is another', NEW.position, NEW.test));
  END IF;
  IF NEW.kind = 'calibration entered' AND act -> 'body' ->> 'attachment' IS NOT NULL AND NOT EXISTS (SELECT FROM
      dwellmark.attachment WHERE bench = NEW.bench AND sha256 = decode(act -> 'body' ->> 'attachment', 'hex')) THEN
    PERFORM dwellmark.refuse('DW003', format('ledger line %s names a kept file that is not here', NEW.position));
  END IF;
  RETURN NEW;
END $$;

CREATE FUNCTION test_arrives() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  held bytea;
  started jsonb;
  told jsonb;
BEGIN
  SELECT head INTO held FROM dwellmark.test WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year;
  IF FOUND THEN
    IF held = NEW.head THEN RETURN NULL; END IF;
    PERFORM dwellmark.refuse('DW001', format('the archive holds another header of test %s', NEW.test));
  END IF;
  SELECT line::jsonb INTO started FROM dwellmark.ledger
    WHERE bench = NEW.bench AND test = NEW.test AND kind = 'test started';
  IF NOT FOUND THEN
    PERFORM dwellmark.refuse('DW002', format('test %s came before the ledger line that starts it', NEW.test));
  END IF;
  IF sha256(dwellmark.domain('header') || convert_to(NEW.header, 'UTF8')) <> NEW.head
      OR encode(NEW.head, 'hex') IS DISTINCT FROM started -> 'body' ->> 'header' THEN
    PERFORM dwellmark.refuse('DW003', format('the header of test %s is not the one the ledger names', NEW.test));
  END IF;
  IF extract(year FROM (started ->> 'at')::timestamptz AT TIME ZONE 'UTC') <> NEW.year THEN
    PERFORM dwellmark.refuse('DW003', format('test %s was not started in %s', NEW.test, NEW.year));
  END IF;
  told := NEW.header::jsonb;
  NEW.started_at := told ->> 'startedAt';
  NEW.customer := told ->> 'customer';
  NEW.serial := told -> 'cylinder' ->> 'serial';
  NEW.work_order := told ->> 'workOrder';
  NEW.gauge := told -> 'plan' -> 'gauge' ->> 'serial';
  NEW.gauges := ARRAY(SELECT DISTINCT serial #>> '{}' FROM jsonb_path_query(told, '$.plan.**.serial') serial);
  NEW.technician := told ->> 'technician';
  NEW.procedure := told -> 'plan' -> 'procedure' ->> 'id';
  RETURN NEW;
END $$;

CREATE FUNCTION block_arrives() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  held bytea;
  chain bytea;
  domain bytea := dwellmark.domain('link');
  place integer := 0;
  size integer := length(NEW.payload);
  seq integer := NEW.first_seq;
  kind integer;
  octet integer;
  weight integer;
  bytes integer;
BEGIN
  SELECT head INTO held FROM dwellmark.block
    WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year AND first_seq = NEW.first_seq;
  IF FOUND THEN
    IF held = NEW.head THEN RETURN NULL; END IF;
    PERFORM dwellmark.refuse('DW001', format('the archive holds another entry %s of test %s', NEW.first_seq, NEW.test));
  END IF;
  IF NEW.first_seq = 1 THEN
    SELECT head INTO chain FROM dwellmark.test WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year;
  ELSE
    SELECT head INTO chain FROM dwellmark.block WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year
      AND first_seq < NEW.first_seq AND first_seq + links = NEW.first_seq ORDER BY first_seq DESC LIMIT 1;
  END IF;
  IF chain IS NULL THEN
    PERFORM dwellmark.refuse('DW002', format('entry %s of test %s came, and what goes before it is not there', NEW.first_seq, NEW.test));
  END IF;
  WHILE place < size LOOP
    kind := get_byte(NEW.payload, place);
    place := place + 1;
    bytes := 0;
    weight := 1;
    LOOP
      octet := get_byte(NEW.payload, place);
      place := place + 1;
      bytes := bytes + (octet & 127) * weight;
      EXIT WHEN octet < 128;
      weight := weight * 128;
    END LOOP;
    IF place + bytes > size THEN
      PERFORM dwellmark.refuse('DW003', format('entry %s of test %s is cut off', seq, NEW.test));
    END IF;
    chain := sha256(domain || chain || int4send(seq) || set_byte('\\x00'::bytea, 0, kind) || substr(NEW.payload, place + 1, bytes));
    place := place + bytes;
    seq := seq + 1;
  END LOOP;
  IF chain <> NEW.head OR seq - NEW.first_seq <> NEW.links THEN
    PERFORM dwellmark.refuse('DW003', format('entries %s to %s of test %s do not fit the chain', NEW.first_seq, seq - 1, NEW.test));
  END IF;
  RETURN NEW;
END $$;

CREATE FUNCTION seal_arrives() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  held bytea;
  chain bytea;
  count integer;
  told jsonb;
BEGIN
  SELECT head INTO held FROM dwellmark.seal WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year;
  IF FOUND THEN
    IF held = NEW.head THEN RETURN NULL; END IF;
    PERFORM dwellmark.refuse('DW001', format('the archive holds another seal of test %s', NEW.test));
  END IF;
  SELECT head, started_at INTO chain, NEW.started_at FROM dwellmark.test
    WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year;
  IF NOT FOUND THEN
    PERFORM dwellmark.refuse('DW002', format('the seal of test %s came before its header', NEW.test));
  END IF;
  SELECT head, first_seq + links - 1 INTO held, count FROM dwellmark.block
    WHERE bench = NEW.bench AND test = NEW.test AND year = NEW.year ORDER BY first_seq DESC LIMIT 1;
  told := NEW.seal::jsonb;
  IF sha256(dwellmark.domain('seal') || coalesce(held, chain) || convert_to(NEW.seal, 'UTF8')) <> NEW.head
      OR (told ->> 'links')::integer <> coalesce(count, 0) OR told ->> 'test' IS DISTINCT FROM NEW.test THEN
    PERFORM dwellmark.refuse('DW003', format('the seal of test %s does not fit the chain beneath it', NEW.test));
  END IF;
  NEW.verdict := told -> 'result' ->> 'verdict';
  NEW.readings := told ->> 'readings';
  RETURN NEW;
END $$;

CREATE TRIGGER arrives BEFORE INSERT ON ledger FOR EACH ROW EXECUTE FUNCTION ledger_arrives();
CREATE TRIGGER arrives BEFORE INSERT ON test FOR EACH ROW EXECUTE FUNCTION test_arrives();
CREATE TRIGGER arrives BEFORE INSERT ON block FOR EACH ROW EXECUTE FUNCTION block_arrives();
CREATE TRIGGER arrives BEFORE INSERT ON seal FOR EACH ROW EXECUTE FUNCTION seal_arrives();

CREATE FUNCTION only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'the archive is append-only: %', TG_TABLE_NAME USING ERRCODE = 'DW001'; END $$;
`;

const kept = ['bench', 'ledger', 'attachment', 'test', 'block', 'seal'] as const;

/** Who may do what: a bench adds to its own rows, a reader reads all, nobody changes anything. */
export const rights = `
DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'dwellmark_bench') THEN CREATE ROLE dwellmark_bench NOLOGIN; END IF;
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'dwellmark_reader') THEN CREATE ROLE dwellmark_reader NOLOGIN; END IF;
END $$;
GRANT USAGE ON SCHEMA dwellmark TO dwellmark_bench, dwellmark_reader;
GRANT SELECT ON about TO dwellmark_bench, dwellmark_reader;
${kept
  .map((table) => {
    const own =
      table === 'bench' ? 'login = session_user' : 'bench IN (SELECT id FROM bench WHERE login = session_user)';
    return `
CREATE TRIGGER only_grows BEFORE UPDATE OR DELETE ON ${table} FOR EACH ROW EXECUTE FUNCTION only_grows();
CREATE TRIGGER never_emptied BEFORE TRUNCATE ON ${table} FOR EACH STATEMENT EXECUTE FUNCTION only_grows();
ALTER TABLE ${table} ENABLE ROW LEVEL SECURITY;
GRANT SELECT, INSERT ON ${table} TO dwellmark_bench;
GRANT SELECT ON ${table} TO dwellmark_reader;
CREATE POLICY bench_adds ON ${table} FOR INSERT TO dwellmark_bench WITH CHECK (${own});
CREATE POLICY bench_reads ON ${table} FOR SELECT TO dwellmark_bench USING (${own});
CREATE POLICY reader_reads ON ${table} FOR SELECT TO dwellmark_reader USING (true);`;
  })
  .join('\n')}
`;
