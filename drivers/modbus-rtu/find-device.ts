import { DwellmarkError } from '../../src/gauge/index.js';
import type { PortSettings } from '../serial/index.js';
import { askRegisters, type ModbusWay } from './ask-once.js';
import type { RegisterRequest } from './frame.js';
import { type RegisterView, registersOf, registerViews, type ValueType } from './register-value.js';

type LineSetting = Omit<PortSettings, 'path'>;

/** 8E1 at 19200 is the default of MODBUS over serial line V1.02, 3.2; the others are met as often (common practice, no source). */
export const usualModbusLines: readonly LineSetting[] = [
  { baudRate: 19_200, dataBits: 8, parity: 'even', stopBits: 1 },
  { baudRate: 9600, dataBits: 8, parity: 'none', stopBits: 1 },
  { baudRate: 19_200, dataBits: 8, parity: 'none', stopBits: 1 },
  { baudRate: 9600, dataBits: 8, parity: 'even', stopBits: 1 },
  { baudRate: 38_400, dataBits: 8, parity: 'none', stopBits: 1 },
  { baudRate: 115_200, dataBits: 8, parity: 'none', stopBits: 1 },
];

/** A device that answers, and how it is asked. */
export interface FoundDevice {
  readonly port: ModbusWay;
  readonly function: RegisterRequest['function'];
}

/**
 * Tries the usual line settings and both functions until a device answers at an address, be it to refuse the register.
 * @throws DwellmarkError (`gauge`) when none does, or the port does not open.
 */
export async function findModbusDevice(
  path: string,
  wanted: { readonly address: number; readonly register: number; readonly type: ValueType },
  options: {
    readonly lines?: readonly LineSetting[];
    readonly functions?: readonly RegisterRequest['function'][];
    readonly timeoutMs?: number;
    readonly onTry?: (line: LineSetting) => void;
    /** The path is host and port of a gateway. */
    readonly tcp?: boolean;
  } = {},
): Promise<FoundDevice> {
  const { functions = [3, 4], timeoutMs = 400 } = options;
  const serial = options.lines ?? usualModbusLines;
  for (const line of options.tcp ? [null] : serial) {
    if (line) options.onTry?.(line);
    const port: ModbusWay = line ? { path, ...line } : { path, tcp: true };
    const seen = new Set<'refused' | 'silent'>();
    for (const code of functions) {
      const answer = await registersRound({ port, function: code }, wanted, timeoutMs);
      if (typeof answer === 'object') return { port, function: code };
      // A device may refuse a function that it does not know, or leave it unanswered.
      seen.add(answer);
    }
    if (seen.has('refused'))
      throw new DwellmarkError('gauge', `address ${wanted.address} on ${path} refuses register ${wanted.register}`, {
        advice: 'Look up the register in the manual, and how it counts them.',
      });
  }
  throw new DwellmarkError('gauge', `nothing answers at address ${wanted.address} on ${path}`, {
    advice: options.tcp
      ? 'Check the address, and line and baud rate behind the gateway.'
      : 'Check the address, the two wires (swap them), and the baud rate on the device.',
  });
}

/** The value's registers where the number counts from 0, and where it counts from 1; undefined where the device has none. */
async function registersRound(
  device: FoundDevice,
  wanted: { readonly address: number; readonly register: number; readonly type: ValueType },
  timeoutMs: number,
): Promise<readonly (number | undefined)[] | 'refused' | 'silent'> {
  const size = registersOf(wanted.type);
  const start = Math.max(0, wanted.register - 1);
  const ask = async (from: number, count: number) => {
    try {
      const request = { address: wanted.address, function: device.function, start: from, count };
      return await askRegisters(device.port, request, timeoutMs);
    } catch (error) {
      if (!(error instanceof DwellmarkError) || error.place.key === 'path') throw error;
      return error.message.includes('refuses') ? 'refused' : 'silent';
    }
  };
  const all = await ask(start, size + 1);
  if (all !== 'refused') return all;
  // A device may end at one of the two.
  const [low, high] = [await ask(start, size), await ask(start + 1, size)];
  if (typeof low === 'object') return [...low, undefined];
  return typeof high === 'object' ? [undefined, ...high] : 'refused';
}

/** One way to read a value: the register as it is set, what the first one is called, and what comes out. */
export interface RegisterChoice extends Omit<RegisterView, 'offset'> {
  readonly register: number;
  readonly firstRegister: 0 | 1;
  /** One of the two registers that it is made of reads zero: half a value looks like that beside a register not in use. */
  readonly halfEmpty: boolean;
}

/**
 * The value read in every way, now: four word orders (two of a 16-bit value) by two ways to count registers, those that
 * count from 0 first.
 * @throws DwellmarkError (`gauge`) when the device no longer answers.
 */
export async function registerChoices(
  device: FoundDevice,
  wanted: { readonly address: number; readonly register: number; readonly type: ValueType },
  timeoutMs = 500,
): Promise<readonly RegisterChoice[]> {
  const seen = await registersRound(device, wanted, timeoutMs);
  if (seen === 'refused' || seen === 'silent')
    throw new DwellmarkError('gauge', `address ${wanted.address} on ${device.port.path} no longer answers`);
  const { register } = wanted;
  const start = Math.max(0, register - 1);
  const registers = seen.map((one) => one ?? Number.NaN);
  const present = (offset: number): boolean =>
    seen.slice(offset, offset + registersOf(wanted.type)).every((one) => one !== undefined);
  return registerViews(registers, wanted.type)
    .map(({ offset, wordOrder, value }): RegisterChoice => {
      const wire = start + offset;
      const counted: Pick<RegisterChoice, 'register' | 'firstRegister'> =
        wire === register - 1 ? { register, firstRegister: 1 } : { register: wire, firstRegister: 0 };
      const words = registers.slice(offset, offset + registersOf(wanted.type));
      const halfEmpty = words.length === 2 && words.includes(0);
      return { ...counted, wordOrder, halfEmpty, value: present(offset) ? value : Number.NaN };
    })
    .sort((a, b) => a.firstRegister - b.firstRegister || a.register - b.register);
}

/** Smaller than this part of the range a number other than zero is bits in the wrong order. */
const leastPart = 1e-6;

/** Places of choices: the likeliest, whether it is the only one, and all that could be right. */
export interface PlausibleChoices {
  readonly at: number;
  readonly sure: boolean;
  readonly could: readonly number[];
}

/**
 * The place of the choice that a gauge of that range could mean; null when none could. A value under pressure tells
 * more than a zero, which any order gives, and a whole value more than one that could be the half of another.
 * @param range in the unit on the wire, scale taken into account.
 */
export function plausibleChoice(
  choices: readonly RegisterChoice[],
  range: { readonly low: number; readonly high: number },
  scale = 1,
): PlausibleChoices | null {
  const span = range.high - range.low;
  const could = choices.flatMap(({ value, halfEmpty }, at) => {
    const scaled = value * scale;
    const within = scaled >= range.low - 0.05 * span && scaled <= range.high + 0.05 * span;
    return within && (scaled === 0 || Math.abs(scaled) > leastPart * span)
      ? [{ at, halfEmpty, zero: scaled === 0 }]
      : [];
  });
  const under = could.filter(({ zero }) => !zero);
  const best = under.find((one) => !one.halfEmpty) ?? under[0] ?? could[0];
  return best === undefined ? null : { at: best.at, sure: under.length === 1, could: could.map(({ at }) => at) };
}
