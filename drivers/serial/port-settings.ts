import { z } from 'zod';
import { type GaugeDescription, type LineGrammar, thousandsSigns } from '../../src/gauge/index.js';

/** Line settings of a serial port. 9600 8N1 is what is met most. */
export const portShape = {
  /** `/dev/ttyUSB0`, better `/dev/serial/by-id/...`, which does not move; `COM3`; `/dev/cu.usbserial-1`. */
  path: z.string().min(1),
  baudRate: z.number().int().min(50).max(4_000_000).default(9600),
  dataBits: z.union([z.literal(7), z.literal(8)]).default(8),
  parity: z.enum(['none', 'even', 'odd']).default('none'),
  stopBits: z.union([z.literal(1), z.literal(2)]).default(1),
};

export type PortSettings = z.output<z.ZodObject<typeof portShape>>;

/** How to read a line; checked further by `lineGrammar`. */
export const lineShape = {
  pattern: z.string().min(1),
  /** Of the pressure; lines without any need none. */
  unit: z.string().min(1).exactOptional(),
  oilUnit: z.string().exactOptional(),
  decimal: z.enum(['.', ',']).exactOptional(),
  thousands: z.enum(thousandsSigns).exactOptional(),
  checksum: z.enum(['none', 'sum', 'twos-complement', 'xor', 'crc16']).exactOptional(),
  /** Signs at the line's start, and right before the checksum, that it does not cover. */
  checksumSkips: z
    .tuple([z.number().int().min(0).max(8), z.number().int().min(0).max(8)])
    .readonly()
    .exactOptional(),
  status: z.record(z.string(), z.enum(['live', 'hold', 'peak', 'over', 'under', 'no-value', 'zeroed'])).exactOptional(),
  noValueNumbers: z.array(z.number()).readonly().exactOptional(),
  terminator: z.string().min(1).max(8).default('\n'),
  /** Longest line in bytes; a longer one is cut and counts as bad. */
  maxLineBytes: z.number().int().min(8).max(65_536).default(512),
};

/** The instrument as the shop knows it. */
export const instrumentShape = {
  /** The serial expected; a line that carries another is another device. */
  serial: z.string().min(1).exactOptional(),
  maker: z.string().exactOptional(),
  model: z.string().exactOptional(),
  /** Readings a second as set on the instrument. */
  ratePerS: z.number().positive().exactOptional(),
};

type InstrumentSettings = z.output<z.ZodObject<typeof instrumentShape>>;

/** What the settings know of the instrument, as a description carries it. */
export function knownInstrument(settings: InstrumentSettings): InstrumentSettings {
  const { serial, maker, model, ratePerS } = settings;
  return {
    ...(serial === undefined ? {} : { serial }),
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    ...(ratePerS === undefined ? {} : { ratePerS }),
  };
}

/** `/dev/ttyUSB0 at 9600 baud 8N1`. */
export const spokenPort = ({ path, baudRate, dataBits, parity, stopBits }: PortSettings): string =>
  `${path} at ${baudRate} baud ${dataBits}${parity.charAt(0).toUpperCase()}${stopBits}`;

/** The description of a gauge that sends text, as far as its settings tell it. */
export function textDescription(
  driver: string,
  settings: PortSettings & InstrumentSettings,
  { unitName, oilUnitName, pattern: { parts } }: LineGrammar,
): GaugeDescription {
  return {
    driver,
    source: spokenPort(settings),
    unit: unitName ?? oilUnitName,
    channels: { opposite: parts.has('opposite'), oil: parts.has('oil') },
    ...knownInstrument(settings),
  };
}
