import { type DriverModule, faultAt, type GaugeDriver, type Trouble } from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import {
  type Dialogue,
  type Exchange,
  knownInstrument,
  PolledGauge,
  type PolledLine,
  type PolledListener,
  type PortLister,
  SerialLine,
  spokenPort,
} from '../serial/index.js';
import { decodeRegisters, type ModbusUnits, modbusUnits } from './decode-registers.js';
import { type Answer, exceptionWords, type Framing, type RegisterRequest, rtuFraming } from './frame.js';
import { type CheckedModbus, type ModbusRtuSettings, modbusSchema, modbusTcpSchema, oneRequest } from './settings.js';
import { tcpFraming } from './tcp-frame.js';
import { TcpLine, tcpAddress } from './tcp-line.js';

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

/** The same gauge where it hangs on an Ethernet gateway, or speaks Modbus TCP itself. */
export const tcpDriver: DriverModule = {
  name: 'modbus-tcp',
  summary: 'a gauge with Modbus TCP, or behind an Ethernet gateway',
  create: (table) => {
    const settings = readDriverSettings('modbus-tcp', modbusTcpSchema, table);
    tcpAddress(settings.path);
    return modbusGauge('modbus-tcp', settings, {
      source: settings.path,
      framing: tcpFraming,
      line: (listener) => new TcpLine(settings.path, listener),
    });
  },
};

function fromTable(table: Readonly<Record<string, unknown>>, lister?: PortLister): GaugeDriver {
  const settings = readDriverSettings('modbus-rtu', modbusSchema, table);
  return modbusGauge('modbus-rtu', settings, {
    source: spokenPort(settings),
    framing: rtuFraming,
    line: (listener) => new SerialLine(settings, listener, lister),
  });
}

/** One gauge, whatever its answers come over. */
function modbusGauge(
  driver: string,
  settings: CheckedModbus,
  way: {
    readonly source: string;
    readonly framing: (request: RegisterRequest) => Framing;
    readonly line: (listener: PolledListener) => PolledLine;
  },
): GaugeDriver {
  const units = modbusUnits(settings);
  const request = oneRequest(settings);
  return new PolledGauge({
    timing: settings,
    line: way.line,
    dialogue: (exchange) => new ModbusDialogue(exchange, settings, units, request, way.framing(request)),
    describe: () => ({
      driver,
      source: `${way.source}, address ${settings.address}`,
      unit: units.name,
      channels: { opposite: settings.opposite !== undefined, oil: settings.oil !== undefined },
      ...knownInstrument(settings),
    }),
  });
}

/** One request for all registers, answers framed by address, function, length and CRC. */
class ModbusDialogue implements Dialogue {
  readonly #exchange: Exchange;
  readonly #settings: CheckedModbus;
  readonly #units: ModbusUnits;
  readonly #request: RegisterRequest;
  readonly #framing: Framing;
  #bytes: Buffer = Buffer.alloc(0);
  #serial: string | null;

  constructor(
    exchange: Exchange,
    settings: CheckedModbus,
    units: ModbusUnits,
    request: RegisterRequest,
    framing: Framing,
  ) {
    this.#exchange = exchange;
    this.#settings = settings;
    this.#units = units;
    this.#request = request;
    this.#framing = framing;
    this.#serial = settings.serial ?? null;
  }

  /** A byte or two are what a driver of the line leaves when it lets go of it. */
  get unfinished(): boolean {
    return this.#bytes.length > 2;
  }

  question(): Buffer {
    this.restart();
    return this.#framing.question();
  }

  restart(): void {
    this.#bytes = Buffer.alloc(0);
  }

  take(piece: Buffer, timeUs: number): void {
    this.#bytes = Buffer.concat([this.#bytes, piece]).subarray(-mostBytes);
    for (;;) {
      const reply = this.#framing.find(this.#bytes);
      if (reply.kind === 'incomplete' || reply.kind === 'wrong-crc') return;
      this.#bytes = Buffer.from(this.#bytes.subarray(reply.end));
      if (reply.kind === 'other') this.#exchange.late(timeUs);
      else this.#answer(reply, timeUs);
    }
  }

  unanswered(timeUs: number): Trouble {
    if (this.#bytes.length > 0) this.#keepRaw(timeUs, this.#bytes, false);
    const spoilt = this.#framing.find(this.#bytes).kind === 'wrong-crc';
    this.restart();
    if (spoilt) return { code: 'checksum', text: 'the CRC of the answer does not agree' };
    const withinS = this.#settings.timeoutMs / 1000;
    return { code: 'exception', text: `the gauge did not answer within {seconds:${withinS}}` };
  }

  #answer(reply: Answer, timeUs: number): void {
    if (!this.#exchange.answer(timeUs)) return this.#keepRaw(timeUs, reply.frame, false);
    this.#keepRaw(timeUs, reply.frame, reply.kind === 'registers');
    if (reply.kind === 'exception') {
      const words = exceptionWords[reply.code] ?? 'it gives no reason';
      const text = `the gauge refuses with exception ${reply.code}: ${words}`;
      return this.#exchange.report(timeUs, [{ code: 'exception', text }]);
    }
    const from = this.#request.start + this.#settings.firstRegister;
    const { reading, trouble, serial } = decodeRegisters(this.#settings, this.#units, reply.registers, from);
    if (serial !== null) this.#checkDevice(timeUs, serial);
    this.#exchange.report(timeUs, trouble);
    this.#exchange.push({ kind: 'reading', reading: { timeUs, ...reading } });
  }

  #checkDevice(timeUs: number, serial: string): void {
    const before = this.#serial;
    this.#serial = serial;
    if (before === null || before === serial) return;
    const text = `the gauge says it is ${serial}, not ${before}`;
    this.#exchange.push({ kind: 'fault', fault: faultAt(timeUs, 'other-device', text) });
  }

  #keepRaw(timeUs: number, frame: Buffer, accepted: boolean): void {
    const text = frame
      .subarray(0, 64)
      .toString('hex')
      .replace(/..(?=.)/g, '$& ');
    this.#exchange.push({ kind: 'line', timeUs, text, accepted });
  }
}
