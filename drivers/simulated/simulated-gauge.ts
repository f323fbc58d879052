import { setTimeout as sleep } from 'node:timers/promises';
import {
  type GaugeDescription,
  type GaugeDriver,
  type GaugeItem,
  type Pressure,
  pressureDifferencePa,
  pressurePa,
  type Reading,
  readingFlags,
  temperatureK,
} from '../../src/gauge/index.js';
import type { PortName } from '../../src/hydraulics/index.js';
import { BenchRun } from './bench-run.js';
import { at } from './hydraulics/equations.js';
import { type RandomSource, seededRandom } from './instrument/random.js';
import {
  OilProbe,
  pascalsIn,
  type Shown,
  type SimulatedProbe,
  type SimulatedTransducer,
  Transducer,
} from './instrument/transducer.js';
import type { OperatorCommand, OperatorPhase } from './operator.js';
import type { SimulatedBench } from './simulated-bench.js';
import { Truth, type TruthSample } from './truth.js';

/** The instrument on the simulated bench. */
export interface SimulatedInstrument {
  readonly pressure: SimulatedTransducer;
  /** Absent: no oil temperature. */
  readonly oil?: SimulatedProbe;
  readonly serial?: string;
}

export interface SimulatedGaugeOptions {
  /** One or two ports, each with the bench as it stands for that port; they run in the order A, B. */
  readonly ports: { readonly A?: SimulatedBench; readonly B?: SimulatedBench };
  readonly instrument: SimulatedInstrument;
  /** Any integer; the same seed gives the same readings to the last bit. */
  readonly seed: number;
  readonly ratePerS: number;
  /** Standard deviation of the time between readings, as a fraction of it. */
  readonly jitter?: number;
  /** Simulated seconds in a second of the wall clock. */
  readonly speed: 'as fast as possible' | number;
  /** The operator waits for commands, whatever the scripts say; see {@link SimulatedGauge.operate}. */
  readonly attended?: boolean;
}

/** The simulated bench behind the driver contract, with a hand on its valves and the truth for comparison. */
export interface SimulatedGauge extends GaugeDriver {
  /** Hands a command to the operator at the bench; needed only when the script is attended. */
  operate(command: OperatorCommand): void;
  /** Where the operator stands. */
  readonly hand: { readonly port: PortName; readonly phase: OperatorPhase };
  /** What really was, up to the last reading given. */
  truth(): Truth;
}

/**
 * A gauge on a simulated bench. Unattended scripts end after the last port; an attended one goes on until closed.
 * @example
 * const gauge = createSimulatedGauge({ ...scenarioNamed('tight'), seed: 1, speed: 'as fast as possible' });
 * await gauge.open();
 * for await (const item of gauge.items()) console.error(item);
 */
export function createSimulatedGauge(options: SimulatedGaugeOptions): SimulatedGauge {
  const benches = [options.ports.A, options.ports.B]
    .filter((bench) => bench !== undefined)
    .map((bench) => (options.attended ? { ...bench, script: { ...bench.script, attended: true } } : bench));
  const [first] = benches;
  if (!first) throw new Error('a simulated gauge needs at least one port');
  if (!(options.ratePerS > 0)) throw new Error('ratePerS must be above 0');
  if (options.speed !== 'as fast as possible' && !(options.speed > 0)) throw new Error('speed must be above 0');
  return new GaugeOnBench(options, benches, first);
}

class GaugeOnBench implements SimulatedGauge {
  readonly #options: SimulatedGaugeOptions;
  readonly #benches: readonly SimulatedBench[];
  readonly #samples: TruthSample[] = [];
  readonly #closing = new AbortController();
  readonly #runs: BenchRun[] = [];
  #run: BenchRun;
  #nowUs = 0;

  constructor(options: SimulatedGaugeOptions, benches: readonly SimulatedBench[], first: SimulatedBench) {
    this.#options = options;
    this.#benches = benches;
    this.#run = this.#onBench(first, 0);
  }

  get hand(): { readonly port: PortName; readonly phase: OperatorPhase } {
    return { port: this.#run.bench.port, phase: this.#run.phase };
  }

  async open(): Promise<GaugeDescription> {
    const { instrument, ratePerS, seed } = this.#options;
    const { pressure } = instrument;
    return {
      driver: 'simulated',
      source: `simulated bench, seed ${seed}`,
      ...(instrument.serial === undefined ? {} : { serial: instrument.serial }),
      rangeHighPa: pressurePa(pressure.rangeHighPa),
      resolutionPa: pressureDifferencePa(pressure.resolution * pascalsIn[pressure.unit]),
      unit: pressure.unit,
      ratePerS,
      channels: {
        opposite: this.#benches.some((bench) => bench.opposite.kind === 'gauge'),
        oil: instrument.oil !== undefined,
      },
    };
  }

  async *items(): AsyncIterable<GaugeItem> {
    const { instrument, seed, speed } = this.#options;
    const random = seededRandom(seed);
    const pressure = new Transducer(instrument.pressure, random);
    const opposite = new Transducer(instrument.pressure, random);
    const oil = instrument.oil && new OilProbe(instrument.oil, random);
    const openedMs = performance.now();

    for (let index = 0; !this.#closing.signal.aborted; index++) {
      const timeUs = Math.max(this.#nowUs + 1, this.#sampleUs(index, random));
      if (speed !== 'as fast as possible') {
        const waitMs = timeUs / 1000 / speed - (performance.now() - openedMs);
        if (waitMs > 1) await sleep(waitMs, undefined, { signal: this.#closing.signal }).catch(() => undefined);
        if (this.#closing.signal.aborted) return;
      }
      if (this.#run.phase === 'done' && !this.#moveOn()) return;
      this.#run.advanceTo(timeUs);
      this.#nowUs = timeUs;
      const truth = this.#sample(timeUs);
      this.#samples.push(truth);
      const timeS = timeUs / 1e6;
      const shown = pressure.read(timeS, truth.pressurePa);
      const shownOpposite =
        this.#run.bench.opposite.kind === 'gauge' ? opposite.read(timeS, truth.oppositePa) : undefined;
      const unitPa = pascalsIn[instrument.pressure.unit];
      const reading: Reading = {
        timeUs,
        pressurePa: inPascals(shown, unitPa),
        oppositePa: shownOpposite ? inPascals(shownOpposite, unitPa) : null,
        oilK: oil ? temperatureK(milli(oil.read(timeS, truth.oilK) + 273.15)) : null,
        flags: flagOf(shown) | (shownOpposite ? flagOf(shownOpposite) : 0),
      };
      yield { kind: 'reading', reading };
    }
  }

  async close(): Promise<void> {
    this.#closing.abort();
  }

  operate(command: OperatorCommand): void {
    const elsewhere = command.kind === 'begin' && (command.port !== this.hand.port || this.hand.phase === 'done');
    if (elsewhere) {
      if (this.hand.phase !== 'vented' && this.hand.phase !== 'done')
        throw new Error(`port ${this.hand.port} is under pressure: it can't be left for port ${command.port}`);
      const bench = this.#benches.find(({ port }) => port === command.port);
      if (!bench) throw new Error(`the simulated bench has no port ${command.port}`);
      this.#run = this.#onBench(bench, this.#nowUs);
    }
    this.#run.command(command);
  }

  truth(): Truth {
    const strokes = this.#runs.flatMap((run) => run.strokes);
    return new Truth(this.#samples, strokes);
  }

  #onBench(bench: SimulatedBench, fromUs: number): BenchRun {
    const run = new BenchRun(bench, fromUs);
    this.#runs.push(run);
    return run;
  }

  /** To the next port when one is left; an attended bench waits, vented, for its next command. */
  #moveOn(): boolean {
    if (this.#run.bench.script.attended) return true;
    const next = this.#benches[this.#benches.indexOf(this.#run.bench) + 1];
    if (!next) return false;
    this.#run = this.#onBench(next, this.#nowUs);
    return true;
  }

  #sampleUs(index: number, random: RandomSource): number {
    const { ratePerS, jitter } = this.#options;
    const late = jitter ? Math.min(0.4, Math.max(-0.4, jitter * random.gaussian())) : 0;
    return Math.round(((index + 1 + late) * 1e6) / ratePerS);
  }

  #sample(timeUs: number): TruthSample {
    const { state, bench, phase, complianceM3PerPa, heldPa } = this.#run;
    const get = (index: number): number => state[index] ?? 0;
    return {
      timeUs,
      port: bench.port,
      phase,
      pressurePa: get(at.pressure),
      oppositePa: get(at.opposite),
      oilK: get(at.oilK),
      heldPa: heldPa ?? null,
      complianceM3PerPa,
      pumpedM3: get(at.pumpedM3),
      strokes: get(at.strokes),
      pistonM3: get(at.pistonM3),
      externalM3: get(at.externalM3),
      benchM3: get(at.benchM3),
      leakFallPa: get(at.leakFallPa),
      thermalFallPa: get(at.thermalFallPa),
    };
  }
}

const inPascals = (shown: Shown, unitPa: number): Pressure | null =>
  shown.value === null ? null : pressurePa(Math.round(shown.value * unitPa));

const flagOf = (shown: Shown): number => {
  if (shown.value !== null) return 0;
  return shown.why === 'over-range' ? readingFlags.overRange : readingFlags.underRange;
};

const milli = (kelvin: number): number => Math.round(kelvin * 1000) / 1000;
