import type { Chamber } from './geometry.js';
import type { HoldSpec } from './hold-spec.js';

/** Heat of oil and steel, a step at a time. All temperatures in kelvins. */
export interface HeatField {
  /** Mean of all trapped oil. */
  readonly oilK: number;
  readonly barrelK: number;
  readonly rodK: number;
  /** Warming of the oil by a rise of one pascal, K/Pa: gamma T/(rho c). */
  warmingPerPa(): number;
  /** Heat flows for a while. */
  step(dtS: number, roomK: number): void;
  /** All oil at once: by compression, or by its expansion. */
  compress(kelvins: number): void;
}

/** Conduction through oil that stands still in a cylinder: first eigenvalue squared. */
const standing = 5.78;
const gravity = 9.81;
/**
 * A line apart: oil in a tube of 10 mm reaches its wall by conduction, the wall holds as much heat as the oil and gives
 * it to the room.
 */
const lineTauS = 90;
const lineToRoomTauS = 1200;

/** Nusselt number by natural convection, times the factor drawn, never below that of oil standing still. */
export function nusselt(spec: HoldSpec, chamber: Chamber, differenceK: number): number {
  const { oil, heat } = spec;
  const diffusivity = oil.conductivityWPerMK / (oil.densityKgPerM3 * oil.heatJPerKgK);
  const rayleigh =
    (gravity * oil.expansionPerK * Math.abs(differenceK) * chamber.gapM ** 3) / (oil.viscosityM2PerS * diffusivity);
  return Math.max(standing, heat.convection * heat.nusselt.a * rayleigh ** heat.nusselt.n);
}

export function heatField(spec: HoldSpec, chamber: Chamber): HeatField {
  return spec.heat.flavour === 'lumped' ? new Lumped(spec, chamber) : new Radial(spec, chamber);
}

abstract class Field implements HeatField {
  protected readonly heatPerM3: number;
  #lineK: number;
  #lineWallK: number;
  readonly #lineShare: number;
  barrelK: number;
  rodK: number;

  constructor(
    protected readonly spec: HoldSpec,
    protected readonly chamber: Chamber,
  ) {
    const { oil, heat, cylinder } = spec;
    this.heatPerM3 = oil.densityKgPerM3 * oil.heatJPerKgK;
    this.#lineShare = heat.lineApart ? cylinder.lineM3 / chamber.volumeM3 : 0;
    this.barrelK = oil.startK;
    this.rodK = oil.startK;
    this.#lineK = oil.startK;
    this.#lineWallK = oil.startK;
  }

  abstract readonly chamberOilK: number;
  /** Heat of this step from the chamber's oil into barrel and rod, J. */
  protected toBarrelJ = 0;
  protected toRodJ = 0;
  protected abstract give(dtS: number): void;
  protected abstract warm(kelvins: number): void;

  get oilK(): number {
    return this.chamberOilK * (1 - this.#lineShare) + this.#lineK * this.#lineShare;
  }

  warmingPerPa(): number {
    return (this.spec.oil.expansionPerK * this.oilK) / this.heatPerM3;
  }

  compress(kelvins: number): void {
    this.warm(kelvins);
    this.#lineK += kelvins;
  }

  step(dtS: number, roomK: number): void {
    this.give(dtS);
    const { chamber, spec } = this;
    const toRoom = spec.heat.outsideWPerM2K * chamber.outsideAreaM2 * (this.barrelK - roomK) * dtS;
    this.barrelK += (this.toBarrelJ - toRoom) / chamber.barrelHeatJPerK;
    if (chamber.rodHeatJPerK > 0) this.rodK += this.toRodJ / chamber.rodHeatJPerK;
    const toWall = ((this.#lineK - this.#lineWallK) * dtS) / lineTauS;
    this.#lineK -= toWall;
    this.#lineWallK += toWall + ((roomK - this.#lineWallK) * dtS) / lineToRoomTauS;
  }
}

/** Oil of one temperature, with a film against the steel. */
class Lumped extends Field {
  #oilK = this.spec.oil.startK;
  readonly #oilM3 = this.spec.heat.lineApart ? this.chamber.chamberM3 : this.chamber.volumeM3;

  get chamberOilK(): number {
    return this.#oilK;
  }

  protected warm(kelvins: number): void {
    this.#oilK += kelvins;
  }

  protected give(dtS: number): void {
    const { chamber } = this;
    this.toBarrelJ = this.#film(this.barrelK) * chamber.barrelAreaM2 * (this.#oilK - this.barrelK) * dtS;
    this.toRodJ =
      chamber.rodAreaM2 > 0 ? this.#film(this.rodK) * chamber.rodAreaM2 * (this.#oilK - this.rodK) * dtS : 0;
    this.#oilK -= (this.toBarrelJ + this.toRodJ) / (this.heatPerM3 * this.#oilM3);
  }

  /** W/(m2 K). */
  #film(steelK: number): number {
    const { chamber, spec } = this;
    return (nusselt(spec, chamber, this.#oilK - steelK) * spec.oil.conductivityWPerMK) / chamber.gapM;
  }
}

const shells = 10;

/** Oil in shells from rod (or axis) to barrel; turning over speeds conduction up by Nu over that of standing oil. Oil of a line that is not apart goes with the mean. */
class Radial extends Field {
  readonly #shellK = new Float64Array(shells).fill(this.spec.oil.startK);
  readonly #flow = new Float64Array(shells + 1);
  readonly #innerM = this.chamber.rodAreaM2 > 0 ? this.spec.cylinder.rodM / 2 : 0;
  readonly #stepM = (this.spec.cylinder.boreM / 2 - this.#innerM) / shells;
  #meanK = this.spec.oil.startK;

  get chamberOilK(): number {
    return this.#meanK;
  }

  protected warm(kelvins: number): void {
    for (let i = 0; i < shells; i += 1) this.#shellK[i] = (this.#shellK[i] ?? 0) + kelvins;
    this.#meanK += kelvins;
  }

  protected give(dtS: number): void {
    const { spec, chamber } = this;
    const turning = nusselt(spec, chamber, this.#meanK - this.barrelK) / standing;
    const conductivity = spec.oil.conductivityWPerMK * turning;
    const stable = (0.3 * this.#stepM ** 2 * this.heatPerM3) / conductivity;
    const rounds = Math.max(1, Math.ceil(dtS / stable));
    this.toBarrelJ = 0;
    this.toRodJ = 0;
    for (let round = 0; round < rounds; round += 1) this.#conduct(dtS / rounds, conductivity, spec.cylinder.strokeM);
    let sum = 0;
    let weight = 0;
    for (let i = 0; i < shells; i += 1) {
      const kelvins = this.#shellK[i] ?? 0;
      const area = this.#innerM + (i + 0.5) * this.#stepM;
      sum += kelvins * area;
      weight += area;
    }
    this.#meanK = sum / weight;
  }

  #conduct(dtS: number, conductivity: number, lengthM: number): void {
    const flow = this.#flow;
    const perM = 2 * Math.PI * lengthM * conductivity * dtS;
    const [k, stepM] = [this.#shellK, this.#stepM];
    flow[0] = this.#innerM > 0 ? (perM * this.#innerM * (this.rodK - (k[0] ?? 0))) / (stepM / 2) : 0;
    for (let i = 1; i < shells; i += 1)
      flow[i] = (perM * (this.#innerM + i * stepM) * ((k[i - 1] ?? 0) - (k[i] ?? 0))) / stepM;
    flow[shells] = (perM * (this.#innerM + shells * stepM) * ((k[shells - 1] ?? 0) - this.barrelK)) / (stepM / 2);
    for (let i = 0; i < shells; i += 1) {
      const heat = this.heatPerM3 * Math.PI * stepM * stepM * (2 * i + 1 + (2 * this.#innerM) / stepM) * lengthM;
      k[i] = (k[i] ?? 0) + ((flow[i] ?? 0) - (flow[i + 1] ?? 0)) / heat;
    }
    this.toBarrelJ += flow[shells] ?? 0;
    this.toRodJ -= flow[0] ?? 0;
  }
}
