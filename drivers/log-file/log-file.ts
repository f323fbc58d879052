import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { z } from 'zod';
import {
  type DriverModule,
  DwellmarkError,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import { type Columns, findColumns, knownNames, readColumnMapping } from './columns.js';
import { separatorOf, splitRow } from './csv-row.js';
import { type LogLine, LogLines } from './log-lines.js';
import { RowReader } from './row-reader.js';

const schema = z.strictObject({
  /** The log. */
  path: z.string().min(1),
  /** `time_s=Elapsed,pressure_psi=P1` for someone else's columns. */
  columns: z.string().exactOptional(),
});

export type LogFileSettings = z.input<typeof schema>;

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

class LogFile implements GaugeDriver {
  readonly #path: string;
  readonly #mapping: ReadonlyMap<string, string> | undefined;
  #lines: LogLines | undefined;
  #rows: { reader: RowReader; first: LogLine } | undefined;

  constructor(settings: z.output<typeof schema>) {
    this.#path = settings.path;
    this.#mapping = settings.columns === undefined ? undefined : readColumnMapping(settings.columns);
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
    const { columns, separator, notes } = await this.#header(this.#lines);
    const first = await this.#lines.nextRow();
    if (!first) throw this.#bad(this.#lines.line, 'the log has a header and no rows', 'Nothing was recorded in it.');
    this.#rows = { reader: new RowReader(this.#path, columns, separator), first };
    const startedAt = columns.time.kind === 'timestamp' ? cellAt(first.text, separator, columns.time.at) : undefined;
    return {
      driver: 'log-file',
      source: basename(this.#path),
      unit: columns.pressure.unitName,
      channels: { opposite: columns.opposite !== null, oil: columns.oil !== null },
      ...(startedAt === undefined ? {} : { startedAt }),
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

  async #header(lines: LogLines): Promise<{ columns: Columns; separator: string; notes: readonly string[] }> {
    let firstRow: { names: readonly string[]; line: number } | undefined;
    for (let tried = 0; tried < linesBeforeHeader; tried++) {
      const row = await lines.nextRow();
      if (!row) break;
      const separator = separatorOf(row.text);
      const split = splitRow(row.text, separator);
      const names = 'cells' in split ? split.cells.map((cell) => cell.text) : [];
      firstRow ??= { names, line: row.line };
      const columns = findColumns(names, this.#mapping, (message, advice) => this.#bad(row.line, message, advice));
      if (!columns) continue;
      const notes: string[] = [];
      if (columns.unused.length > 0) notes.push(`columns not used: ${columns.unused.join(', ')}`);
      if (tried > 0) notes.push(`${tried} lines above the header not used`);
      return { columns, separator, notes };
    }
    if (!firstRow) throw this.#bad(1, 'the log is empty', 'Nothing was recorded in it.');
    throw this.#noHeader(firstRow);
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

function cellAt(text: string, separator: string, at: number): string | undefined {
  const row = splitRow(text, separator);
  return 'cells' in row ? row.cells[at]?.text : undefined;
}
