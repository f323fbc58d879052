import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { z } from 'zod';
import {
  type DriverModule,
  DwellmarkError,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
  type LogSource,
  type Pressure,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import {
  type Columns,
  findColumns,
  isByNumber,
  knownNames,
  namesOverUnits,
  readColumnMapping,
  unitsRow,
} from './columns.js';
import { separatorOf, splitRow } from './csv-row.js';
import { type LogLine, LogLines } from './log-lines.js';
import { isRemark, RowReader } from './row-reader.js';
import { isoStamp, type ReadStamp, stampReader } from './stamp-format.js';

const schema = z.strictObject({
  /** The log. */
  path: z.string().min(1),
  /** `time_s=Elapsed,pressure_psi=P1` for someone else's columns. */
  columns: z.string().exactOptional(),
  /** How time stamps are written, `DD.MM.YYYY HH:mm:ss`; ISO 8601 when absent. */
  stamp: z.string().exactOptional(),
  /** Taken off absolute pressures, pascals; the standard atmosphere when absent. */
  ambientPa: z.number().positive().exactOptional(),
});

export type LogFileSettings = z.input<typeof schema>;

/** The standard atmosphere (ISO 2533), pascals. */
const standardAtmospherePa = 101_325;

/** So many lines that were left out are named by their numbers. */
const namedLines = 20;

/** A header is looked for in so many lines: other programs put notes above it. */
const linesBeforeHeader = 60;

/**
 * A recorded log as a gauge: CSV with a header row, read as it goes, whatever its length. Time starts at zero with
 * the first row. A line that can't be read is a DwellmarkError (`input`) with file, line and column, thrown out of
 * the iteration: a log with a bad line is not half imported.
 * @example createLogFile({ path: 'hold-3.csv' })
 */
export function createLogFile(settings: LogFileSettings): GaugeDriver {
  return driver.create({ ...settings });
}

export const driver: DriverModule = {
  name: 'log-file',
  summary: 'a recorded log in CSV',
  create: (settings) => new LogFile(readDriverSettings('log-file', schema, settings)),
};

/** Columns of a log, and a row below the header that was read to see whether it holds units. */
interface OpenedHeader {
  readonly columns: Columns;
  readonly separator: string;
  readonly notes: readonly string[];
  readonly peeked?: LogLine;
}

class LogFile implements GaugeDriver {
  readonly #path: string;
  readonly #mapping: ReadonlyMap<string, string> | undefined;
  #lines: LogLines | undefined;
  #rows: { reader: RowReader; first: LogLine } | undefined;
  readonly #stamp: ReadStamp;
  readonly #ambientPa: number;

  constructor(settings: z.output<typeof schema>) {
    this.#path = settings.path;
    this.#mapping = settings.columns === undefined ? undefined : readColumnMapping(settings.columns);
    this.#stamp = settings.stamp === undefined ? isoStamp : stampReader(settings.stamp);
    this.#ambientPa = Math.round(settings.ambientPa ?? standardAtmospherePa);
  }

  /** Reads the header and the first row. */
  async open(): Promise<GaugeDescription> {
    const about = await stat(this.#path).catch(() => undefined);
    if (!about?.isFile())
      throw new DwellmarkError('input', about ? 'is not a file' : 'there is no such file', {
        place: { file: this.#path },
        advice: 'Check the path of the log.',
      });
    this.#lines = new LogLines(this.#path);
    const { columns, separator, notes, peeked } = await this.#header(this.#lines);
    const how = { separator, stamp: this.#stamp, ambientPa: this.#ambientPa };
    let first = peeked ?? (await this.#lines.nextRow());
    while (first && isRemark(splitRow(first.text, separator), this.#stamp)) first = await this.#lines.nextRow();
    if (!first) throw this.#bad(this.#lines.line, 'the log has a header and no rows', 'Nothing was recorded in it.');
    this.#rows = { reader: new RowReader(this.#path, columns, how), first };
    const stamped = columns.time.kind === 'timestamp' ? cellAt(first.text, separator, columns.time.at) : undefined;
    const startedAt = stamped === undefined ? undefined : this.#stamp(stamped)?.iso;
    const isAbsolute = columns.pressure.absolute || columns.opposite?.absolute === true;
    return {
      driver: 'log-file',
      source: basename(this.#path),
      unit: columns.pressure.unitName,
      channels: { opposite: columns.opposite !== null, oil: columns.oil !== null },
      ...(startedAt === undefined ? {} : { startedAt }),
      log: {
        sha256: await sha256OfFile(this.#path),
        columns: columns.read,
        ...(isAbsolute ? { ambientPa: this.#ambientPa as Pressure } : {}),
        ...(await this.#leftOut(separator, first.line)),
      },
      ...(notes.length > 0 ? { notes } : {}),
    };
  }

  async *items(): AsyncGenerator<GaugeItem, void, undefined> {
    const lines = this.#lines;
    if (!lines || !this.#rows) return;
    const { reader } = this.#rows;
    let row: LogLine | undefined = this.#rows.first;
    while (row) {
      yield* reader.read(row.text, row.line, row.ended);
      row = await lines.nextRow();
    }
    yield* reader.end();
  }

  async close(): Promise<void> {
    this.#lines?.close();
  }

  /** Every line that holds no reading, comments too: what somebody put a # before is not gone without a trace. */
  async #leftOut(separator: string, firstData: number): Promise<Pick<LogSource, 'leftOut' | 'firstLeftOut'>> {
    const lines = new LogLines(this.#path);
    const remarks: number[] = [];
    let rowsAbove = 0;
    for (let row = await lines.nextRow(); row; row = await lines.nextRow()) {
      if (row.line < firstData) rowsAbove += 1;
      if (row.line < firstData || isRemark(splitRow(row.text, separator), this.#stamp)) remarks.push(row.line);
    }
    const header = isByNumber(this.#mapping) ? 0 : Math.min(1, rowsAbove);
    const leftOut = remarks.length - header + lines.comments;
    return { leftOut, firstLeftOut: remarks.filter((line) => line >= firstData).slice(0, namedLines) };
  }

  async #header(lines: LogLines): Promise<OpenedHeader> {
    if (isByNumber(this.#mapping)) return this.#withoutHeader(lines);
    let firstRow: { names: readonly string[]; line: number } | undefined;
    for (let tried = 0; tried < linesBeforeHeader; tried++) {
      const row = await lines.nextRow();
      if (!row) break;
      const separator = separatorOf(row.text);
      const split = splitRow(row.text, separator);
      const names = 'cells' in split ? split.cells.map((cell) => cell.text) : [];
      firstRow ??= { names, line: row.line };
      const fail = (message: string, advice: string) => this.#bad(row.line, message, advice);
      const named = findColumns(names, this.#mapping, fail);
      if (!named && (this.#mapping || !mayStandOverUnits(names))) continue;
      const peeked = await lines.nextRow();
      const units = peeked && unitsRow(cellsOf(peeked.text, separator));
      const columns = units
        ? findColumns(this.#mapping ? names : namesOverUnits(names, units), this.#mapping, fail, units)
        : named;
      if (!columns) throw this.#noHeader(firstRow);
      const notes: string[] = [];
      if (columns.unused.length > 0) notes.push(`columns not used: ${columns.unused.join(', ')}`);
      if (tried > 0) notes.push(`${tried} lines above the header not used`);
      return { columns, separator, notes, ...(units || !peeked ? {} : { peeked }) };
    }
    if (!firstRow) throw this.#bad(1, 'the log is empty', 'Nothing was recorded in it.');
    throw this.#noHeader(firstRow);
  }

  async #withoutHeader(lines: LogLines): Promise<OpenedHeader> {
    const peeked = await lines.nextRow();
    if (!peeked) throw this.#bad(1, 'the log is empty', 'Nothing was recorded in it.');
    const separator = [';', '\t'].find((sign) => peeked.text.includes(sign)) ?? ',';
    const count = cellsOf(peeked.text, separator).length;
    const fail = (message: string, advice: string) => this.#bad(peeked.line, message, advice);
    const columns = findColumns(Array<string>(count).fill(''), this.#mapping, fail);
    const beyond = [...(this.#mapping?.values() ?? [])].find((number) => Number(number.slice(1)) > count);
    if (beyond !== undefined)
      throw fail(`there is no column ${beyond}: the first row has ${count}`, 'Check --columns.');
    if (!columns) throw fail('--columns names no time or no pressure', `Name both (${knownNames}).`);
    return { columns, separator, notes: ['no header: columns by their number'], peeked };
  }

  #noHeader({ names, line }: { names: readonly string[]; line: number }): DwellmarkError {
    const found = names
      .slice(0, 12)
      .map((name) => `"${name}"`)
      .join(', ');
    const missing = this.#mapping && [...this.#mapping.values()].filter((name) => !names.includes(name));
    return missing?.length
      ? this.#bad(
          line,
          `no column ${missing.map((name) => `"${name}"`).join(', ')}; found: ${found}`,
          'Check --columns against the header row.',
        )
      : this.#bad(
          line,
          `no header with a time and a pressure column; found: ${found}`,
          `Say with --columns which is which, for example --columns "time_s=${names[0] || 'Elapsed'},pressure_bar=${names[1] || 'P1'}" (${knownNames}).`,
        );
  }

  #bad(line: number, message: string, advice: string): DwellmarkError {
    return new DwellmarkError('input', message, { place: { file: this.#path, line, column: 1 }, advice });
  }
}

function cellsOf(text: string, separator: string): readonly string[] {
  const row = splitRow(text, separator);
  return 'cells' in row ? row.cells.map((cell) => cell.text) : [];
}

const cellAt = (text: string, separator: string, at: number): string | undefined => cellsOf(text, separator)[at];

/** A time among the names without its unit: the row below may have it. */
const mayStandOverUnits = (names: readonly string[]): boolean =>
  names.some((name) => /^(?:time|elapsed|elapsed time)$/i.test(name.trim()));

async function sha256OfFile(file: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const piece of createReadStream(file)) hash.update(piece as Buffer);
  return hash.digest('hex');
}
