import { z } from 'zod';
import { DwellmarkError } from '../../src/gauge/index.js';
import { instrumentShape, portShape } from '../serial/index.js';
import type { RegisterRequest } from './frame.js';
import { registersOf, valueTypes, wordOrders } from './register-value.js';

const register = z.number().int().min(0).max(65_535);

const value = z.strictObject({
  register,
  type: z.enum(valueTypes).default('float32'),
  wordOrder: z.enum(wordOrders).default('ABCD'),
  /** The value is the number times this: 0.1 for an int16 in tenths. */
  scale: z.number().default(1),
  /** Numbers that stand for no value, before the scale, e.g. 32767. */
  noValueNumbers: z.array(z.number()).default([]),
});

export type RegisterSetting = z.output<typeof value>;

export const modbusSchema = z.strictObject({
  ...portShape,
  // The standard's default; 9600 8N1 is met as often.
  baudRate: portShape.baudRate.default(19_200),
  parity: portShape.parity.default('even'),
  ...instrumentShape,
  /** The device's own. */
  address: z.number().int().min(1).max(247),
  /** 3 reads holding registers, 4 input registers. */
  function: z.union([z.literal(3), z.literal(4)]).default(3),
  /** 1 where the manual counts registers from 1. */
  firstRegister: z.union([z.literal(0), z.literal(1)]).default(0),
  /** Of the pressures; not needed where none is read. */
  unit: z.string().min(1).exactOptional(),
  oilUnit: z.string().default('C'),
  /** Absent for an oil probe. */
  pressure: value.exactOptional(),
  opposite: value.exactOptional(),
  oil: value.exactOptional(),
  /** A register that says how the device is, and the numbers that mean well. */
  status: z.strictObject({ register, good: z.array(z.number().int()).min(1) }).exactOptional(),
  /** A register that says which unit is set on the device, and the number of the right one. */
  unitCode: z.strictObject({ register, is: z.number().int() }).exactOptional(),
  /** Where the device's serial number stands. */
  serialNumber: value.exactOptional(),
  /** Readings asked for a second. */
  ratePerS: z.number().positive().max(200).default(10),
  timeoutMs: z.number().int().min(5).max(10_000).default(500),
});

const { baudRate: _b, dataBits: _d, parity: _p, stopBits: _s, ...withoutLine } = modbusSchema.shape;

/** The same without a serial line: `path` is host and port of the gateway. */
export const modbusTcpSchema = z.strictObject({
  ...withoutLine,
  /** The device's behind a gateway; one that is on the network itself mostly takes any, or 255 alone. */
  address: z.number().int().min(0).max(255).default(1),
});

export type ModbusRtuSettings = z.input<typeof modbusSchema>;
/** What the registers mean, and how often they are asked for, whatever they come over. */
export type CheckedModbus = z.output<typeof modbusTcpSchema>;

/**
 * The one request that covers every register asked for.
 * @throws DwellmarkError (`input`) when they lie more than 125 registers apart or before the first one.
 */
export function oneRequest(settings: CheckedModbus): RegisterRequest {
  if (!settings.pressure && !settings.oil)
    throw new DwellmarkError('input', 'modbus-rtu needs the register of the pressure, or of the oil temperature', {
      place: { key: 'pressure' },
      advice: 'Write for example pressure = { register = 0 }, for an oil probe oil = { register = 0 }.',
    });
  const spans = [settings.pressure, settings.opposite, settings.oil, settings.serialNumber]
    .filter((one) => one !== undefined)
    .map((one) => ({ from: one.register, to: one.register + registersOf(one.type) }));
  for (const one of [settings.status, settings.unitCode])
    if (one) spans.push({ from: one.register, to: one.register + 1 });
  const from = Math.min(...spans.map((span) => span.from));
  const count = Math.max(...spans.map((span) => span.to)) - from;
  const fail = (message: string, advice: string): DwellmarkError =>
    new DwellmarkError('input', message, { place: { key: 'pressure.register' }, advice });
  if (count > 125)
    throw fail(`the registers lie ${count} apart, one request reads 125`, 'Leave out the one that lies far off.');
  if (from < settings.firstRegister)
    throw fail('register 0 is not there when registers count from 1', 'Set first_register = 0.');
  return { address: settings.address, function: settings.function, start: from - settings.firstRegister, count };
}
