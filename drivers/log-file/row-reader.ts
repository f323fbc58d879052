import {
  codeOfFlags,
  type DecimalSign,
  DwellmarkError,
  faultAt,
  type GaugeItem,
  type Pressure,
  type Reading,
  readMark,
  readMarkNumber,
  readNumber,
  type Temperature,
  wholeMillikelvins,
  wholePascals,
} from '../../src/gauge/index.js';
import type { Columns, UnitColumn } from './columns.js';
import { type Cell, type SplitRow, splitRow } from './csv-row.js';
import type { ReadStamp } from './stamp-format.js';

export interface HowToRead {
  readonly separator: string;
  readonly stamp: ReadStamp;
  /** Taken off absolute pressures, pascals. */
  readonly ambientPa: number;
}

/**
 * Turns the rows of one log into items, in order. The first row's time becomes zero. What makes a row unreadable is a
 * DwellmarkError with file, line and column; what is wrong with the recording (a mark instead of a value, a time
 * twice or running backwards) is a fault among the readings.
 */
export class RowReader {
  readonly #file: string;
  readonly #columns: Columns;
  readonly #separator: string;
  /** Undefined until the first number that has one. */
  #decimal: DecimalSign | undefined;
  #originUs: number | undefined;
  #lastUs = -1;
  #lastMark = 0;
  #sameTime = 0;
  #before: readonly Cell[] | undefined;
  #backwards = false;

  readonly #stamp: ReadStamp;
  readonly #ambientPa: number;

  constructor(file: string, columns: Columns, { separator, stamp, ambientPa }: HowToRead) {
    this.#file = file;
    this.#columns = columns;
    this.#separator = separator;
    this.#stamp = stamp;
    this.#ambientPa = ambientPa;
  }

  /**
   * The items of one row. A last row without a line break is used only when it is as long as its forerunner to the
   * last cell: otherwise the recording may have broken off in the middle of it, and 345.12 would be read as 345.1.
   * @throws DwellmarkError (`input`) naming line and column.
   */
  read(text: string, line: number, ended = true): readonly GaugeItem[] {
    const row = splitRow(text, this.#separator);
    if (!ended && !this.#asLongAsBefore(row)) return [cutOff(Math.max(0, this.#lastUs), line)];
    if (isRemark(row, this.#stamp)) return [];
    if ('cells' in row) this.#before = row.cells;
    if ('unclosedQuoteAt' in row)
      throw this.#bad(
        line,
        row.unclosedQuoteAt,
        'a quote is opened and not closed',
        'Close it, or leave the line out.',
      );
    const { time, pressure, opposite, oil, count } = this.#columns;
    const extra = row.cells.slice(count).find((cell) => cell.text !== '');
    if (extra)
      throw this.#bad(
        line,
        extra.column,
        `the line has ${row.cells.length} cells, the header has ${count}`,
        'Numbers with a decimal comma need semicolons or quotes around them.',
      );
    const absoluteUs = this.#time(this.#cell(row.cells, time.at, line), line);
    this.#originUs ??= absoluteUs;
    const timeUs = absoluteUs - this.#originUs;
    const own = this.#value(row.cells, pressure, line);
    const reading: Reading = {
      timeUs,
      pressurePa: own.value === null ? null : this.#gaugePa(own.value, pressure),
      oppositePa: this.#pressureOf(row.cells, opposite, line),
      oilK: this.#temperatureOf(row.cells, oil, line),
      flags: own.flags,
    };
    return [...this.#timeFaults(timeUs, line), ...this.#markFaults(timeUs, own, line), ...this.#keep(reading)];
  }

  /** What is left to say when the file is over. */
  end(): readonly GaugeItem[] {
    const count = this.#sameTime;
    if (count < 2) return [];
    return [
      {
        kind: 'fault',
        fault: faultAt(this.#lastUs, 'time-backwards', `${count} rows repeat the time of the row before`, 'note'),
      },
    ];
  }

  #asLongAsBefore(row: SplitRow): boolean {
    return (
      'cells' in row &&
      row.cells.length === this.#before?.length &&
      row.cells.at(-1)?.text.length === this.#before.at(-1)?.text.length
    );
  }

  /** A row that goes back in time has no place in the trace. */
  #keep(reading: Reading): readonly GaugeItem[] {
    if (reading.timeUs < this.#lastUs) return [];
    this.#lastUs = reading.timeUs;
    return [{ kind: 'reading', reading }];
  }

  #timeFaults(timeUs: number, line: number): readonly GaugeItem[] {
    const faults: GaugeItem[] = [];
    const at = Math.max(timeUs, this.#lastUs);
    if (timeUs < this.#lastUs && !this.#backwards) {
      const text = `time runs backwards at line ${line}, by {seconds:${(this.#lastUs - timeUs) / 1e6}}`;
      faults.push({ kind: 'fault', fault: faultAt(at, 'time-backwards', text) });
    }
    this.#backwards = timeUs < this.#lastUs;
    if (timeUs === this.#lastUs) {
      this.#sameTime += 1;
      if (this.#sameTime === 1)
        faults.push({
          kind: 'fault',
          fault: faultAt(at, 'time-backwards', `line ${line} repeats the time of the row before`, 'note'),
        });
    }
    return faults;
  }

  #markFaults(timeUs: number, own: { flags: number; words: string }, line: number): readonly GaugeItem[] {
    const begins = own.flags !== 0 && own.flags !== this.#lastMark;
    this.#lastMark = own.flags;
    if (!begins) return [];
    const text = `the gauge is ${own.words} at line ${line}`;
    return [{ kind: 'fault', fault: faultAt(Math.max(timeUs, this.#lastUs), codeOfFlags(own.flags), text) }];
  }

  #time(cell: Cell, line: number): number {
    const { time } = this.#columns;
    if (time.kind === 'timestamp') {
      const stamp = this.#stamp(cell.text);
      if (stamp === undefined)
        throw this.#bad(
          line,
          cell.column,
          `"${cell.text}" is not a date and time`,
          'Write it as 2026-03-14T08:00:00.250, or say with --stamp how it is written.',
        );
      return stamp.us;
    }
    const value = this.#number(cell, line);
    if (value === undefined)
      throw this.#bad(
        line,
        cell.column,
        `"${cell.text}" is not a time`,
        'Mend the line, or put a # before it to leave it out.',
      );
    return Math.round(value * time.secondsPerUnit * 1e6);
  }

  #value(
    cells: readonly Cell[],
    column: UnitColumn,
    line: number,
  ): { value: number | null; flags: number; words: string } {
    const cell = this.#cell(cells, column.at, line);
    const value = this.#number(cell, line);
    const mark = value === undefined ? readMark(cell.text) : readMarkNumber(value);
    if (mark) return { value: null, flags: mark.flag, words: mark.words };
    if (value === undefined)
      throw this.#bad(
        line,
        cell.column,
        `"${cell.text}" is not a number`,
        'Mend the line, or put a # before it to leave it out.',
      );
    return { value, flags: 0, words: '' };
  }

  #pressureOf(cells: readonly Cell[], column: UnitColumn | null, line: number): Pressure | null {
    const value = column && this.#value(cells, column, line).value;
    return column && value !== null ? this.#gaugePa(value, column) : null;
  }

  #gaugePa(value: number, { unit, absolute }: UnitColumn): Pressure {
    return (wholePascals(value, unit) - (absolute ? this.#ambientPa : 0)) as Pressure;
  }

  #temperatureOf(cells: readonly Cell[], column: UnitColumn | null, line: number): Temperature | null {
    const value = column && this.#value(cells, column, line).value;
    return column && value !== null ? wholeMillikelvins(value, column.unit) : null;
  }

  /** A number with the file's decimal sign; the first number that has one settles it for the whole file. */
  #number(cell: Cell, line: number): number | undefined {
    const other = this.#decimal ?? (cell.text.includes(',') ? ',' : '.');
    const value = readNumber(cell.text, other);
    if (value !== undefined && this.#decimal === undefined && /[.,]/.test(cell.text)) this.#decimal = other;
    if (
      value === undefined &&
      this.#decimal !== undefined &&
      readNumber(cell.text, this.#decimal === '.' ? ',' : '.') !== undefined
    )
      throw this.#bad(
        line,
        cell.column,
        `"${cell.text}" has another decimal sign than the lines before it`,
        `This file writes a decimal "${this.#decimal}"; one sign for the whole file.`,
      );
    return value;
  }

  #cell(cells: readonly Cell[], at: number, line: number): Cell {
    const cell = cells[at];
    if (cell) return cell;
    const end = cells.at(-1);
    const column = (end?.column ?? 1) + (end?.text.length ?? 0);
    throw this.#bad(
      line,
      column,
      `the line has ${cells.length} ${cells.length === 1 ? 'cell' : 'cells'}, the header wants at least ${at + 1}`,
      'Mend the line, or put a # before it to leave it out.',
    );
  }

  #bad(line: number, column: number, message: string, advice: string): DwellmarkError {
    return new DwellmarkError('input', message, { place: { file: this.#file, line, column }, advice });
  }
}

/** A row of words among the readings, as loggers write for an event: not one number or time in it. */
export const isRemark = (row: SplitRow, stamp: ReadStamp): boolean =>
  'cells' in row &&
  row.cells.some(({ text }) => text !== '') &&
  row.cells.every(
    ({ text }) =>
      text === '' ||
      (readMark(text) === undefined &&
        readNumber(text, '.') === undefined &&
        readNumber(text, ',') === undefined &&
        stamp(text) === undefined),
  );

const cutOff = (timeUs: number, line: number): GaugeItem => ({
  kind: 'fault',
  fault: faultAt(timeUs, 'bad-line', `the log ends in the middle of line ${line}, which is not used`),
});
