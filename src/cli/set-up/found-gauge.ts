import type { GaugeEntry } from '../../bench/index.js';
import type { ThousandsSign } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import { type AnswerCheck, ask } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark } from '../output.js';

/** What `gauge add` may be told beforehand. */
export interface GaugeAddOptions extends CommonOptions {
  readonly path?: string;
  readonly baud?: number;
  readonly driver?: 'ascii-stream' | 'ascii-poll' | 'modbus-rtu' | 'modbus-tcp';
  readonly unit?: string;
  readonly pattern?: string;
  readonly column?: number;
  readonly decimal?: '.' | ',';
  readonly thousands?: ThousandsSign;
  readonly request?: string;
  readonly address?: string;
  readonly function?: 3 | 4;
  readonly register?: number;
  readonly type?: string;
  readonly scale?: number;
  readonly wordOrder?: string;
  readonly firstRegister?: 0 | 1;
  readonly oilRegister?: number;
  readonly oilType?: string;
  readonly oilScale?: number;
  readonly statusRegister?: number;
  readonly statusGood?: number;
  readonly serial?: string;
  readonly maker?: string;
  readonly model?: string;
  readonly range?: string;
  readonly resolution?: string;
  readonly accuracy?: string;
  readonly yes?: boolean;
}

/** A gauge whose line is understood. */
export interface FoundGauge {
  readonly driver: 'ascii-stream' | 'ascii-poll' | 'modbus-rtu' | 'modbus-tcp';
  /** An oil probe has no pressure in what it sends. */
  readonly measures: 'pressure' | 'oil';
  /** Its `[gauge.line]` or `[probe.line]` table. */
  readonly line: GaugeEntry['line'];
  /** One step of what it sends, in the unit on the wire; null: its readings don't tell. */
  readonly step: number | null;
  /** As it was asked for already. */
  readonly range?: string;
}

export interface Asked {
  readonly question: string;
  readonly option: string;
  readonly preset?: string;
  readonly yes?: boolean | undefined;
  /** A person is asked again for what can't be. */
  readonly check?: AnswerCheck;
}

/** What is given on the command line, else what a person says; with `--yes` nobody is asked. */
export async function given(text: string | undefined, asked: Asked): Promise<string> {
  const { question, option, preset, check = () => {} } = asked;
  if (text !== undefined) {
    check(text);
    return text;
  }
  if (!asked.yes) return ask(question, option, preset, check);
  if (preset !== undefined) return preset;
  throw new DwellmarkError('usage', `${question}: --yes asks nothing`, { advice: `Give it with ${option}.` });
}

type LineSetting = {
  readonly baudRate: number;
  readonly dataBits: number;
  readonly parity: string;
  readonly stopBits: number;
};

/** `listening at 9600 baud 8N1 ...` */
export const sayTry =
  (what: 'listening' | 'asking') =>
  ({ baudRate, dataBits, parity, stopBits }: LineSetting): void =>
    remark(`${what} at ${baudRate} baud ${dataBits}${parity.charAt(0).toUpperCase()}${stopBits} ...`);

/** The keys of a serial line that differ from 8N1. */
export const lineKeys = ({ baudRate, dataBits, parity, stopBits }: LineSetting): GaugeEntry['line'] => ({
  baud_rate: baudRate,
  ...(dataBits === 8 ? {} : { data_bits: dataBits }),
  ...(parity === 'none' ? {} : { parity }),
  ...(stopBits === 1 ? {} : { stop_bits: stopBits }),
});
