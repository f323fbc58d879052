import type { Pressure, PressureDifference } from '../units/index.js';
import type { Reading } from './reading.js';

/**
 * The driver contract. A driver turns one instrument, file or simulation into readings and nothing else: it knows
 * no phases and no verdicts.
 *
 * Life: `open()` once, then iterate `items()` once, then `close()` (any time, more than once is harmless; a running
 * iteration then ends). Trouble with the instrument is a value (`fault`), never an exception: an exception out of a
 * driver is a bug, save one: a recorded log with a line that can't be read throws a DwellmarkError (`input`) with its
 * line and column out of the iteration, because such a log is refused and not half imported. `open()` may throw a DwellmarkError with code `gauge` (no such port, no permission) or `input`
 * (a bad setting): nothing has started then.
 */
export interface GaugeDriver {
  open(): Promise<GaugeDescription>;
  /** Readings, raw lines and faults in the order they arrived; ends when the source is exhausted or closed. */
  items(): AsyncIterable<GaugeItem>;
  close(): Promise<void>;
}

/** What the driver knows of its instrument. Absent: the instrument doesn't tell. */
export interface GaugeDescription {
  /** The driver's name, `ascii-stream`. */
  readonly driver: string;
  /** Where the readings come from, as a person would say it: `/dev/ttyUSB0 at 9600 baud`, `hold-3.csv`. */
  readonly source: string;
  readonly maker?: string;
  readonly model?: string;
  /** Read from the instrument itself, never from the port. */
  readonly serial?: string;
  readonly rangeHighPa?: Pressure;
  readonly resolutionPa?: PressureDifference;
  /** The unit on the wire, of the pressure; of an oil probe that of its temperature. */
  readonly unit: string;
  readonly ratePerS?: number;
  readonly channels: { readonly opposite: boolean; readonly oil: boolean };
  /** Wall clock of the first reading where the source carries one, ISO 8601 as it stood there. */
  readonly startedAt?: string;
  /** Of a recorded log: which file it was, and how it was read. */
  readonly log?: LogSource;
  /** What the driver noticed while opening and the operator should read: columns not used, a setting assumed. */
  readonly notes?: readonly string[];
  /** Of several gauges read as one: the others, by the serial the shop knows them by. */
  readonly others?: readonly { readonly gauge: string; readonly description: GaugeDescription }[];
}

/** How a recorded log was read: all that decides what its figures mean. */
export interface LogSource {
  /** SHA-256 of the file's bytes, hex. */
  readonly sha256: string;
  /** What was read from which column: `time_s from "Elapsed"`. */
  readonly columns: readonly string[];
  /** Taken off absolute pressures, pascals. */
  readonly ambientPa?: Pressure;
  /** Lines that hold no readings and were left out: above the header, remarks, comments; and where the first are. */
  readonly leftOut: number;
  readonly firstLeftOut: readonly number[];
}

/** What a driver's file exports as `driver`; a shop's own driver is a module with just this. */
export interface DriverModule {
  readonly name: string;
  /** One line for a person who chooses among drivers. */
  readonly summary: string;
  /**
   * Checks the settings (a table of the shop file, keys as written there) and makes a driver; touches no device.
   * @throws DwellmarkError (`input`) naming the key that is wrong.
   */
  create(settings: Readonly<Record<string, unknown>>): GaugeDriver;
}

export type GaugeItem =
  | { readonly kind: 'reading'; readonly reading: Reading }
  /**
   * A line as it came, with its arrival time; `accepted` tells whether it became a reading, `known` that it is no
   * news of the gauge though it is no reading (an answer that came too late, a line whose checksum does not agree),
   * `gauge` whose it is where there are several.
   */
  | {
      readonly kind: 'line';
      readonly timeUs: number;
      readonly text: string;
      readonly accepted: boolean;
      readonly known?: boolean;
      readonly gauge?: string;
    }
  | { readonly kind: 'fault'; readonly fault: GaugeFault };

export type GaugeFaultCode =
  | 'unplugged'
  | 'replugged'
  | 'restarted'
  | 'other-device'
  | 'silent'
  | 'bad-line'
  | 'checksum'
  | 'no-value'
  | 'over-range'
  | 'under-range'
  | 'unit-changed'
  | 'frozen'
  | 'jump'
  | 'rate-fallen'
  | 'time-backwards'
  | 'zero-shift'
  | 'exception';

/** Something the gauge, the cable or the setting did. Goes into the record and before the operator. */
export interface GaugeFault {
  readonly timeUs: number;
  readonly code: GaugeFaultCode;
  /** In words for the person at the bench. */
  readonly text: string;
  /** What it does to a dwell it falls into: `void` makes it invalid. */
  readonly effect: 'void' | 'warn' | 'note';
  /** Serial of the gauge, where there are several. */
  readonly gauge?: string;
}
