import {
  type DriverModule,
  FaultEpisodes,
  faultAt,
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
  ItemQueue,
} from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import { AskingLoop, knownInstrument, type PortLister, SerialLine, spokenPort } from '../serial/index.js';
import { decodeRegisters, type ModbusUnits, modbusUnits } from './decode-registers.js';
import { exceptionWords, findReply, type RegisterRequest, requestFrame } from './frame.js';
import { type CheckedModbus, type ModbusRtuSettings, modbusSchema, oneRequest } from './settings.js';

/** More bytes than the longest answer and an echo before it are noise. */
const mostBytes = 512;

/**
 * A gauge on Modbus RTU: all its values in one request, asked in a steady beat. An answer whose CRC does not agree is
 * a fault and no reading; so is an exception of the device.
 * @throws DwellmarkError (`input`) at once for a setting that can't be.
 * @example createModbusRtu({ path: '/dev/ttyUSB0', address: 1, unit: 'bar', pressure: { register: 0 } })
 */
export function createModbusRtu(settings: ModbusRtuSettings, lister?: PortLister): GaugeDriver {
  return fromTable({ ...settings }, lister);
}

export const driver: DriverModule = {
  name: 'modbus-rtu',
  summary: 'a gauge with Modbus RTU on a serial port',
  create: (settings) => fromTable(settings),
};

function fromTable(table: Readonly<Record<string, unknown>>, lister?: PortLister): GaugeDriver {
  const settings = readDriverSettings('modbus-rtu', modbusSchema, table);
  return new ModbusRtu(settings, { units: modbusUnits(settings), request: oneRequest(settings) }, lister);
}

class ModbusRtu implements GaugeDriver {
  readonly #settings: CheckedModbus;
  readonly #units: ModbusUnits;
  readonly #request: RegisterRequest;
  readonly #line: SerialLine;
  readonly #queue = new ItemQueue();
  readonly #loop: AskingLoop;
  readonly #episodes = new FaultEpisodes();
  #bytes: Buffer = Buffer.alloc(0);
  #serial: string | null;

  constructor(
    settings: CheckedModbus,
    { units, request }: { readonly units: ModbusUnits; readonly request: RegisterRequest },
    lister?: PortLister,
  ) {
    this.#settings = settings;
    this.#units = units;
    this.#request = request;
    this.#serial = settings.serial ?? null;
    this.#line = new SerialLine(
      settings,
      {
        bytes: (piece, timeUs) => this.#take(piece, timeUs),
        fault: (fault) => {
          if (fault.code === 'unplugged') this.#loop.stop();
          this.#queue.push({ kind: 'fault', fault });
        },
        reopened: () => this.#loop.start(),
      },
      lister,
    );
    const frame = requestFrame(request);
    this.#loop = new AskingLoop(this.#line, {
      intervalMs: 1000 / settings.ratePerS,
      timeoutMs: settings.timeoutMs,
      question: () => {
        this.#bytes = Buffer.alloc(0);
        return frame;
      },
      unanswered: (timeUs) => this.#tellUnanswered(timeUs),
    });
  }

  async open(): Promise<GaugeDescription> {
    await this.#line.open();
    this.#loop.start();
    return {
      driver: 'modbus-rtu',
      source: `${spokenPort(this.#settings)}, address ${this.#settings.address}`,
      unit: this.#units.name,
      channels: { opposite: this.#settings.opposite !== undefined, oil: this.#settings.oil !== undefined },
      ...knownInstrument(this.#settings),
    };
  }

  items(): AsyncIterable<GaugeItem> {
    return this.#queue;
  }

  async close(): Promise<void> {
    this.#loop.stop();
    await this.#line.close();
    this.#queue.end();
  }

  #take(piece: Buffer, timeUs: number): void {
    if (!this.#loop.waiting) return;
    this.#bytes = Buffer.concat([this.#bytes, piece]).subarray(0, mostBytes);
    const reply = findReply(this.#bytes, this.#request);
    if (reply.kind === 'incomplete' || reply.kind === 'wrong-crc') return;
    this.#loop.answered();
    this.#keepRaw(timeUs, reply.frame, reply.kind === 'registers');
    if (reply.kind === 'exception') {
      const words = exceptionWords[reply.code] ?? 'it gives no reason';
      this.#tell(timeUs, [{ code: 'exception', text: `the gauge refuses with exception ${reply.code}: ${words}` }]);
      return;
    }
    const from = this.#request.start + this.#settings.firstRegister;
    const { reading, trouble, serial } = decodeRegisters(this.#settings, this.#units, reply.registers, from);
    if (serial !== null) this.#tellDevice(timeUs, serial);
    this.#tell(timeUs, trouble);
    this.#queue.push({ kind: 'reading', reading: { timeUs, ...reading } });
  }

  #tellUnanswered(timeUs: number): void {
    if (this.#bytes.length > 0) this.#keepRaw(timeUs, this.#bytes, false);
    const spoilt = findReply(this.#bytes, this.#request).kind === 'wrong-crc';
    this.#tell(timeUs, [
      spoilt
        ? { code: 'checksum', text: 'the CRC of the answer does not agree' }
        : { code: 'exception', text: `the gauge did not answer within {seconds:${this.#settings.timeoutMs / 1000}}` },
    ]);
  }

  #tellDevice(timeUs: number, serial: string): void {
    const before = this.#serial;
    this.#serial = serial;
    if (before === null || before === serial) return;
    const text = `the gauge says it is ${serial}, not ${before}`;
    this.#queue.push({ kind: 'fault', fault: faultAt(timeUs, 'other-device', text) });
  }

  #tell(timeUs: number, trouble: Parameters<FaultEpisodes['of']>[1]): void {
    for (const fault of this.#episodes.of(timeUs, trouble)) this.#queue.push({ kind: 'fault', fault });
  }

  #keepRaw(timeUs: number, frame: Buffer, accepted: boolean): void {
    const text = frame
      .subarray(0, 64)
      .toString('hex')
      .replace(/..(?=.)/g, '$& ');
    this.#queue.push({ kind: 'line', timeUs, text, accepted });
  }
}
