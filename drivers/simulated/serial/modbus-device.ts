import { crc16Modbus, type Reading } from '../../../src/gauge/index.js';
import { pascalsIn } from '../instrument/transducer.js';

/** Where a simulated instrument on Modbus keeps what it says. */
export const modbusMap = {
  /** Pressure in the unit of the display, float32 in two registers, high word first. */
  pressure: 0,
  /** Oil temperature in tenths of a degree Celsius, int16. */
  oil: 2,
  /** 0: the values are good. */
  status: 3,
  /** Two registers that anybody may write: a note to the instrument, say its damping. */
  spare: 4,
  /** So many registers there are. */
  size: 6,
} as const;

/** What a port must be able to do for the instrument. */
interface Wire {
  write(bytes: Uint8Array): Promise<void>;
  onBytes(listener: (bytes: Uint8Array) => void): void;
}

/** Codes of an exception (MODBUS application protocol V1.1b3, 7). */
const refusals = { function: 1, register: 2, count: 3 } as const;

/**
 * A simulated instrument on Modbus RTU: it answers functions 3 and 4 from its registers, and takes 6 and 16 into those
 * that may be written (MODBUS application protocol V1.1b3, 6.3, 6.4, 6.6, 6.12). Questions to another address, and those
 * whose CRC does not agree, stay unanswered.
 */
export class ModbusDevice {
  readonly registers: Uint16Array = new Uint16Array(modbusMap.size);
  readonly #wire: Wire;
  readonly #address: number;
  readonly #unit: 'bar' | 'psi';
  #heard: Buffer = Buffer.alloc(0);

  constructor(wire: Wire, options: { readonly address: number; readonly unit: 'bar' | 'psi' }) {
    this.#wire = wire;
    this.#address = options.address;
    this.#unit = options.unit;
    wire.onBytes((bytes) => this.#hear(bytes));
  }

  /** The instrument's display from now on. A value it does not have is NaN, and its status says so. */
  show({ pressurePa, oilK }: Pick<Reading, 'pressurePa' | 'oilK'>): void {
    const view = new DataView(new ArrayBuffer(4));
    view.setFloat32(0, pressurePa === null ? Number.NaN : pressurePa / pascalsIn[this.#unit]);
    this.registers[modbusMap.pressure] = view.getUint16(0);
    this.registers[modbusMap.pressure + 1] = view.getUint16(2);
    this.registers[modbusMap.oil] = oilK === null ? 0x8000 : Math.round((oilK - 273.15) * 10);
    this.registers[modbusMap.status] = pressurePa === null ? 1 : 0;
  }

  #hear(bytes: Uint8Array): void {
    this.#heard = Buffer.concat([this.#heard, bytes]).subarray(-512);
    for (let at = 0; at + 8 <= this.#heard.length; at += 1) {
      const length = requestLength(this.#heard, at);
      if (length === null || at + length > this.#heard.length) continue;
      const frame = this.#heard.subarray(at, at + length);
      if (crc16Modbus(frame.subarray(0, -2)) !== frame.readUInt16LE(length - 2)) continue;
      this.#heard = this.#heard.subarray(at + length);
      if (frame[0] === this.#address) void this.#wire.write(framed(this.#answer(frame))).catch(() => undefined);
      at = -1;
    }
  }

  #answer(frame: Buffer): number[] {
    const [address = 0, code = 0] = frame;
    const refuse = (why: number): number[] => [address, code | 0x80, why];
    const [start, second] = [frame.readUInt16BE(2), frame.readUInt16BE(4)];
    const count = code === 6 ? 1 : second;
    if (code !== 6 && (count < 1 || count > 125)) return refuse(refusals.count);
    if (start + count > modbusMap.size) return refuse(refusals.register);
    if (code === 3 || code === 4) {
      const words = [...this.registers.subarray(start, start + count)];
      return [address, code, 2 * count, ...words.flatMap((word) => [word >> 8, word & 0xff])];
    }
    if (code !== 6 && code !== 16) return refuse(refusals.function);
    if (start < modbusMap.spare) return refuse(refusals.register);
    if (code === 16 && frame[6] !== 2 * count) return refuse(refusals.count);
    for (let index = 0; index < count; index += 1)
      this.registers[start + index] = code === 6 ? second : frame.readUInt16BE(7 + 2 * index);
    return [...frame.subarray(0, 6)];
  }
}

/** Bytes of the question that may begin there; null when not enough have come to tell. */
function requestLength(bytes: Buffer, at: number): number | null {
  if (bytes[at + 1] !== 16) return 8;
  const size = bytes[at + 6];
  return size === undefined ? null : 9 + size;
}

function framed(body: readonly number[]): Uint8Array {
  const crc = crc16Modbus(Uint8Array.from(body));
  return Uint8Array.from([...body, crc & 0xff, crc >> 8]);
}
