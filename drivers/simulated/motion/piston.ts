import { atmospherePa } from '../hydraulics/stiffness.js';
import { breakingForceN, movingFrictionN, type SealFriction } from './friction.js';

/** A piston that can be driven through its stroke by the port under test. */
export interface SimulatedPiston {
  /** Area that the pressure drives, and the one that pushes oil out on the other side, m2. */
  readonly areaM2: number;
  readonly otherAreaM2: number;
  readonly strokeM: number;
  readonly massKg: number;
  readonly friction: SealFriction;
  /** Resistance of the open line on the other side, Pa for each m3/s. */
  readonly returnPaPerM3PerS: number;
  /** Oil left in the chamber when the piston stands at its near end, m3. */
  readonly deadM3: number;
}

/** Give of line and chamber, figures of the bench. */
export interface DrivenOil {
  readonly bulkModulusPa: number;
  /** Absent: the barrel is rigid. */
  readonly wallModulusPa?: number;
  readonly airFraction: number;
  readonly lineM3: number;
  readonly hoseM3PerPa: number;
}

/** Steps of the motion: some fifty to the quickest swing of a piston on its oil; longer while it stands. */
const movingStepS = 2e-4;
const standingStepS = 1e-3;
/** Oil tears below this, Pa gauge. */
const leastPa = -0.9e5;

/** What moved and when: seconds since the stroke began, pascals. */
export interface MotionEvent {
  readonly what: 'broke away' | 'stuck' | 'at its stop';
  readonly s: number;
  readonly pa: number;
}

/**
 * The piston in its equations, each with the other: (V/K) dp/dt = Q - A v for the oil behind it, and
 * m dv/dt = p A - p_other A_other - F(v) for itself. It stands until the pressure overcomes the grip of the seals; with
 * a friction that falls with speed it sticks and slips by itself, at the period that oil, flow and grip give.
 */
export class Piston {
  readonly #of: SimulatedPiston;
  readonly #oil: DrivenOil;
  readonly events: MotionEvent[] = [];
  pressurePa = 0;
  positionM = 0;
  speedMPerS = 0;
  #standsSinceS: number;
  #s = 0;
  /** Integral of the pressure over time while it moves or sticks between, since the mean was last begun. */
  #sumPaS = 0;
  #sumS = 0;

  /** @param restedS how long it has stood before */
  constructor(of: SimulatedPiston, oil: DrivenOil, restedS: number) {
    this.#of = of;
    this.#oil = oil;
    this.#standsSinceS = -restedS;
  }

  get atStop(): boolean {
    return this.positionM >= this.#of.strokeM;
  }

  get backPa(): number {
    return this.#of.returnPaPerM3PerS * this.#of.otherAreaM2 * this.speedMPerS;
  }

  /** V/K of oil, barrel, hose and air as the piston stands, m3/Pa. */
  get giveM3PerPa(): number {
    const { bulkModulusPa, wallModulusPa, airFraction, lineM3, hoseM3PerPa } = this.#oil;
    const chamberM3 = this.#of.deadM3 + this.#of.areaM2 * this.positionM;
    const absolutePa = Math.max(1000, this.pressurePa + atmospherePa);
    return (
      (chamberM3 + lineM3) / bulkModulusPa +
      (wallModulusPa ? chamberM3 / wallModulusPa : 0) +
      hoseM3PerPa +
      (chamberM3 * airFraction * atmospherePa) / absolutePa ** 2
    );
  }

  /** Mean pressure since the mean was last begun, Pa; null when it was not. */
  get meanPa(): number | null {
    return this.#sumS > 0 ? this.#sumPaS / this.#sumS : null;
  }

  beginMean(): void {
    this.#sumPaS = 0;
    this.#sumS = 0;
  }

  /** @param flowM3PerS oil in, or out when negative; the pressure never passes `reliefPa` */
  advance(spanS: number, flowM3PerS: number, reliefPa: number): void {
    let leftS = spanS;
    while (leftS > 1e-12) {
      const h = Math.min(leftS, this.speedMPerS > 0 ? movingStepS : standingStepS);
      this.#step(h, flowM3PerS, reliefPa);
      leftS -= h;
      this.#s += h;
    }
  }

  #step(h: number, flowM3PerS: number, reliefPa: number): void {
    const { areaM2, otherAreaM2, strokeM, massKg, friction } = this.#of;
    if (!this.atStop) {
      if (this.speedMPerS === 0) {
        const gripN = breakingForceN(friction, this.#s - this.#standsSinceS);
        if (this.pressurePa * areaM2 > gripN) {
          this.#tell('broke away');
          this.speedMPerS = 1e-9;
        }
      }
      if (this.speedMPerS > 0) {
        const forceN = this.pressurePa * areaM2 - this.backPa * otherAreaM2;
        this.speedMPerS += (h * (forceN - movingFrictionN(friction, this.speedMPerS))) / massKg;
        if (this.speedMPerS <= 0) {
          this.speedMPerS = 0;
          this.#standsSinceS = this.#s;
          this.#tell('stuck');
        }
      }
      this.positionM += h * this.speedMPerS;
      this.#sumPaS += h * this.pressurePa;
      this.#sumS += h;
      if (this.atStop) {
        this.positionM = strokeM;
        this.speedMPerS = 0;
        this.#tell('at its stop');
      }
    }
    const rise = (h * (flowM3PerS - areaM2 * this.speedMPerS)) / this.giveM3PerPa;
    this.pressurePa = Math.max(leastPa, Math.min(reliefPa, this.pressurePa + rise));
  }

  #tell(what: MotionEvent['what']): void {
    this.events.push({ what, s: this.#s, pa: this.pressurePa });
  }
}
