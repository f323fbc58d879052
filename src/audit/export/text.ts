import type { Verdict } from '../../evaluation/index.js';
import type { Reading } from '../../gauge/index.js';
import { corrected, type Store, type StoredTest, type TestHeader } from '../../record/index.js';

/**
 * A trace as CSV, a line at a time: `#` lines that say what it is, then time in seconds, pressure in pascals, the other
 * port where it was measured, oil temperature in kelvins, flags. A missing value is an empty field. Reads back as a log.
 * @param upTo ledger position whose corrections it takes in; the newest when absent.
 */
export function* exportCsv(store: Store, test: string, upTo = Number.POSITIVE_INFINITY): Iterable<string> {
  const { header: tested, head, result, corrections } = store.test(test);
  const header = corrected(
    tested,
    corrections.filter(({ position }) => position <= upTo),
  );
  yield* traceCsv({ header, head, verdict: result?.verdict ?? null }, store.trace(test));
}

/** What stands above a trace. */
export interface TraceAbout {
  readonly header: TestHeader;
  readonly head: string | null;
  readonly verdict: Verdict | null;
}

/** The same from readings that do not come from a store. */
export function* traceCsv({ header, head, verdict }: TraceAbout, trace: Iterable<Reading>): Iterable<string> {
  const { opposite, oil } = header.gauge.channels;
  yield `# test ${oneLine(header.test)}, ${oneLine(header.customer)}, cylinder ${oneLine(header.cylinder.serial)}\n`;
  yield `# started ${oneLine(header.startedAt)}, gauge ${oneLine(header.plan.gauge.serial)}\n`;
  yield `# verdict ${verdict ?? 'none: never sealed'}, record ${head ?? 'not sealed'}\n`;
  yield `${['time_s', 'pressure_Pa', ...(opposite ? ['pressure_b_Pa'] : []), ...(oil ? ['temperature_K'] : []), 'flags'].join(',')}\n`;
  for (const reading of trace) yield csvLine(reading, opposite, oil);
}

function csvLine(reading: Reading, opposite: boolean, oil: boolean): string {
  const fields: (string | number)[] = [decimal(reading.timeUs, 6), reading.pressurePa ?? ''];
  if (opposite) fields.push(reading.oppositePa ?? '');
  if (oil) fields.push(reading.oilK === null ? '' : reading.oilK.toFixed(3));
  fields.push(reading.flags);
  return `${fields.join(',')}\n`;
}

/** A whole number as a decimal fraction, exactly: `decimal(1_500_000, 6)` is `1.500000`. */
function decimal(whole: number, places: number): string {
  const digits = String(Math.abs(whole)).padStart(places + 1, '0');
  return `${whole < 0 ? '-' : ''}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}

/** In one cell, and none that a spreadsheet would compute. */
const oneLine = (text: string): string => text.replace(/\s+/g, ' ').replace(/,(?=[=+@-])/g, ', ');

/** Everything of one test as one JSON document, in pieces: header, seal, signatures, certificates, acts, then inputs. */
export function* exportJson(store: Store, test: string): Iterable<string> {
  const { header, headerHead, seal, head, ledger, signatures, certificates, voided, acts }: StoredTest =
    store.test(test);
  const about = { header, headerHead, seal, head, ledger, signatures, certificates, voided, acts };
  yield `${JSON.stringify(about, null, 1).slice(0, -2)},\n "inputs": [`;
  let between = '\n  ';
  for (const input of store.inputs(test)) {
    yield between + JSON.stringify(input);
    between = ',\n  ';
  }
  yield '\n ]\n}\n';
}

/** A spreadsheet takes a text that begins so for a formula; an apostrophe before it makes it a text again. */
const formula = /^[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/;

/** Lines of a list as CSV: quoted where a field holds a comma, a quote or a line break; no text is left a formula. */
export function csvRow(fields: readonly (string | number | boolean | null)[]): string {
  const quoted = fields.map((field) => {
    const text = typeof field === 'string' && formula.test(field) ? `'${field}` : String(field ?? '');
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  });
  return `${quoted.join(',')}\n`;
}
