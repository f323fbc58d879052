import type { PortName } from '../../src/hydraulics/index.js';
import type { TrueStroke } from './motion/stroking.js';
import type { OperatorPhase } from './operator.js';

/** The bench without an instrument between: what really was at the time of one reading. SI, gauge pressures. */
export interface TruthSample {
  readonly timeUs: number;
  readonly port: PortName;
  readonly phase: OperatorPhase;
  readonly pressurePa: number;
  readonly oppositePa: number;
  readonly oilK: number;
  /** Pressure behind the cylinder's closed check valve; null while it is open to the gauge. */
  readonly heldPa: number | null;
  /** V/K_eff, m3/Pa. */
  readonly complianceM3PerPa: number;
  /** Since this port began: oil delivered, booster strokes, oil past the piston, to the air, back into the bench. */
  readonly pumpedM3: number;
  readonly strokes: number;
  readonly pistonM3: number;
  readonly externalM3: number;
  readonly benchM3: number;
  /** Fall that leaks alone, and changing temperature alone, have caused since this port began, Pa. */
  readonly leakFallPa: number;
  readonly thermalFallPa: number;
}

/** What truly happened between two readings. */
export interface TrueChange {
  readonly overS: number;
  /** Positive for a fall. */
  readonly dropPa: number;
  readonly leakDropPa: number;
  readonly thermalDropPa: number;
  /** Mean leak by path and in all, m3/s. */
  readonly leakM3PerS: number;
  readonly pistonM3PerS: number;
  readonly externalM3PerS: number;
  readonly benchM3PerS: number;
}

/** The noise-free quantities of a run so far. */
export class Truth {
  readonly samples: readonly TruthSample[];
  /** The strokes made, in order. */
  readonly strokes: readonly TrueStroke[];

  constructor(samples: readonly TruthSample[], strokes: readonly TrueStroke[] = []) {
    this.samples = samples;
    this.strokes = strokes;
  }

  /** The last sample at or before a time. */
  at(timeUs: number): TruthSample {
    let low = 0;
    let high = this.samples.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if ((this.samples[middle]?.timeUs ?? 0) <= timeUs) low = middle;
      else high = middle - 1;
    }
    const sample = this.samples[low];
    if (!sample) throw new Error('the simulation has not begun');
    return sample;
  }

  /** Samples of one phase of one port's run. */
  during(port: PortName, phase: OperatorPhase): readonly TruthSample[] {
    return this.samples.filter((sample) => sample.port === port && sample.phase === phase);
  }

  /** What truly changed between two times on one port. */
  between(fromUs: number, toUs: number): TrueChange {
    const [from, to] = [this.at(fromUs), this.at(toUs)];
    const overS = (to.timeUs - from.timeUs) / 1e6;
    const pistonM3PerS = (to.pistonM3 - from.pistonM3) / overS;
    const externalM3PerS = (to.externalM3 - from.externalM3) / overS;
    const benchM3PerS = (to.benchM3 - from.benchM3) / overS;
    return {
      overS,
      dropPa: from.pressurePa - to.pressurePa,
      leakDropPa: to.leakFallPa - from.leakFallPa,
      thermalDropPa: to.thermalFallPa - from.thermalFallPa,
      leakM3PerS: pistonM3PerS + externalM3PerS + benchM3PerS,
      pistonM3PerS,
      externalM3PerS,
      benchM3PerS,
    };
  }
}
