import type { GaugeDescription, GaugeDriver, GaugeFault, GaugeItem } from '../driver.js';
import { faultAt } from '../fault.js';
import { ItemQueue } from '../item-queue.js';
import type { Reading } from '../reading.js';
import { FreshValue } from './fresh-value.js';

/** A gauge on its own line, under supervision already, by the serial on the instrument. */
export interface GaugeOnLine {
  readonly serial: string;
  readonly driver: GaugeDriver;
}

/** Which gauge gives what while one port is under test. Null: no gauge of its own does. */
export interface ChannelDuties {
  readonly pressure: string;
  readonly opposite: string | null;
  readonly oil: string | null;
}

/** Several gauges read as one. */
export interface MergedGauges extends GaugeDriver {
  /** The port under test has changed: from now on its gauges give the channels. */
  turnTo(port: number): void;
}

/**
 * Reads several gauges as one, on one monotonic clock. Theory of operation: the gauge of the port under test makes the
 * readings, each at its own time; the newest value of the gauge at the other port and of the oil probe is carried in
 * it while that is fresh ({@link FreshValue}), else the channel is null. Raw lines and faults of all of them come
 * through and name their gauge. What a gauge beside the main one suffers is a warning at most, and its channel is not
 * measured then: the pressure under test is known all the same. One that turns out to be another instrument is not
 * listened to any more.
 * @param duties one for each port of the plan, in its order.
 */
export function mergedGauges(gauges: readonly GaugeOnLine[], duties: readonly ChannelDuties[]): MergedGauges {
  return new Merged(gauges, duties);
}

interface Member extends GaugeOnLine {
  readonly newest: FreshValue;
  /** This gauge's clock began so much later than the merged one, microseconds. */
  laterUs: number;
  trusted: boolean;
  /** A value that it was found frozen at: none until it moves. */
  stuckPa: number | null;
}

class Merged implements MergedGauges {
  readonly #members: readonly Member[];
  readonly #duties: readonly ChannelDuties[];
  readonly #queue: ItemQueue;
  #now: ChannelDuties;
  #lastUs = -1;
  #closed = false;
  #failure: unknown = null;
  #drained: Promise<void> | null = null;
  #tellDrained: () => void = () => {};

  constructor(gauges: readonly GaugeOnLine[], duties: readonly ChannelDuties[]) {
    const [first] = duties;
    if (!first) throw new Error('gauges are merged for at least one port');
    const serials = gauges.map(({ serial }) => serial);
    for (const serial of duties.flatMap(({ pressure, opposite, oil }) => [pressure, opposite, oil]))
      if (serial !== null && !serials.includes(serial)) throw new Error(`gauge ${serial} has a duty and no line`);
    this.#members = gauges.map((gauge) => ({
      ...gauge,
      newest: new FreshValue(),
      laterUs: 0,
      trusted: true,
      stuckPa: null,
    }));
    this.#duties = duties;
    this.#now = first;
    this.#queue = new ItemQueue({
      onFull: () => {
        this.#drained = new Promise((resolve) => {
          this.#tellDrained = resolve;
        });
      },
      onDrained: () => {
        this.#drained = null;
        this.#tellDrained();
      },
    });
  }

  /** @throws DwellmarkError when one of them does not open; those that did are closed again. */
  async open(): Promise<GaugeDescription> {
    const opened: { readonly gauge: string; readonly description: GaugeDescription }[] = [];
    let startNs: bigint | null = null;
    try {
      for (const member of this.#members) {
        const ns = process.hrtime.bigint();
        startNs ??= ns;
        member.laterUs = Number((ns - startNs) / 1000n);
        opened.push({ gauge: member.serial, description: await member.driver.open() });
      }
    } catch (cause) {
      await this.close();
      throw cause;
    }
    const main = opened.find(({ gauge }) => gauge === this.#now.pressure);
    if (!main) throw new Error(`gauge ${this.#now.pressure} was not opened`);
    const gives = (channel: 'opposite' | 'oil'): boolean =>
      this.#duties.some((duty) => duty[channel] !== null) ||
      opened.some(
        ({ gauge, description }) =>
          description.channels[channel] && this.#duties.some((duty) => duty.pressure === gauge),
      );
    return {
      ...main.description,
      channels: { opposite: gives('opposite'), oil: gives('oil') },
      others: opened.filter((one) => one !== main),
    };
  }

  turnTo(port: number): void {
    this.#now = this.#duties[Math.min(port, this.#duties.length - 1)] ?? this.#now;
  }

  async *items(): AsyncIterable<GaugeItem> {
    for (const member of this.#members) void this.#listen(member);
    yield* this.#queue;
    if (this.#failure !== null) throw this.#failure;
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#tellDrained();
    await Promise.all(this.#members.map(({ driver }) => driver.close()));
    this.#queue.end();
  }

  async #listen(member: Member): Promise<void> {
    try {
      for await (const item of member.driver.items()) {
        if (this.#drained && !this.#closed) await this.#drained;
        this.#take(member, item);
      }
      if (member.serial === this.#now.pressure) this.#queue.end();
      else if (!this.#closed) this.#lost(member, 'gives no more readings');
    } catch (cause) {
      if (member.serial !== this.#now.pressure) {
        this.#lost(member, `its driver failed: ${cause instanceof Error ? cause.message : String(cause)}`);
        return;
      }
      this.#failure = cause;
      this.#queue.end();
    }
  }

  #lost(member: Member, text: string): void {
    member.newest.take(null);
    this.#tell(member, faultAt(Math.max(0, this.#lastUs), 'exception', text));
  }

  #take(member: Member, item: GaugeItem): void {
    switch (item.kind) {
      case 'line':
        this.#queue.push({ ...item, timeUs: item.timeUs + member.laterUs, gauge: member.serial });
        return;
      case 'fault':
        this.#tell(member, { ...item.fault, timeUs: item.fault.timeUs + member.laterUs });
        return;
      case 'reading': {
        const reading = { ...item.reading, timeUs: item.reading.timeUs + member.laterUs };
        if (member.serial === this.#now.pressure) this.#lead(reading);
        if (reading.pressurePa !== member.stuckPa) member.stuckPa = null;
        member.newest.take(member.trusted && member.stuckPa === null ? reading : null);
      }
    }
  }

  /** A reading of the port under test, with what the others said just now. */
  #lead(own: Reading): void {
    // The gauge of the next port may lag behind the last reading of the one before.
    if (own.timeUs <= this.#lastUs) return;
    this.#lastUs = own.timeUs;
    const { opposite, oil } = this.#now;
    const reading: Reading = {
      ...own,
      oppositePa: opposite === null ? own.oppositePa : (this.#said(opposite, own.timeUs)?.pressurePa ?? null),
      oilK:
        oil === null ? own.oilK : oil === this.#now.pressure ? own.oilK : (this.#said(oil, own.timeUs)?.oilK ?? null),
    };
    this.#queue.push({ kind: 'reading', reading });
  }

  #said(serial: string, timeUs: number): Reading | null {
    return this.#members.find((member) => member.serial === serial)?.newest.at(timeUs) ?? null;
  }

  /** A fault, by the name of its gauge and with the weight of its duty. */
  #tell(member: Member, fault: GaugeFault): void {
    const { pressure, opposite, oil } = this.#now;
    const main = member.serial === pressure;
    const idle = !main && member.serial !== opposite && member.serial !== oil;
    if (fault.code === 'other-device') member.trusted = main;
    if (fault.code === 'frozen') member.stuckPa = member.newest.at(fault.timeUs)?.pressurePa ?? null;
    if (!main && endsValue.has(fault.code)) member.newest.take(null);
    const most = main ? fault.effect : idle ? 'note' : 'warn';
    const effect = main || fault.effect === 'note' ? fault.effect : most;
    const text = `gauge ${member.serial}: ${fault.text}`;
    this.#queue.push({ kind: 'fault', fault: { ...fault, text, effect, gauge: member.serial } });
  }
}

/** After these a gauge's newest value is none, fresh or not. */
const endsValue: ReadonlySet<GaugeFault['code']> = new Set([
  'unplugged',
  'other-device',
  'silent',
  'unit-changed',
  'frozen',
]);
