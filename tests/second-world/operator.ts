import type { Chance } from './chance.js';
import type { OperatorPlan, Pump } from './hold-spec.js';

/** What the operator does to the trapped oil in a step: pressure a second that the pump or the valve would make. */
export class Operator {
  /** End of the ramp with what followed it at once; null before. */
  rampEndS: number | null = null;
  /** Last time that oil went in or out by hand before the hold ended, feeds apart. */
  lastRiseS = 0;
  readonly #plan: OperatorPlan;
  readonly #chance: Chance;
  #phase: 'quiet' | 'pump' | 'let back' | 'hold' | 'bleed' = 'quiet';
  #strokeUntilS = 0;
  #strokePaPerS = 0;
  #pushUntilS = 0;
  #pausedUntilS: number | null = null;
  #topUp = 0;

  constructor(plan: OperatorPlan, chance: Chance) {
    this.#plan = plan;
    this.#chance = chance;
  }

  /** Nothing is shut yet: no pressure, whatever the temperatures do. */
  get vented(): boolean {
    return this.#phase === 'quiet';
  }

  /** Oil is let out at the end. */
  get bleeding(): boolean {
    return this.#phase === 'bleed';
  }

  paPerS(atS: number, pressurePa: number): number {
    const plan = this.#plan;
    if (this.#phase === 'quiet' && atS >= plan.quietBeforeS) this.#phase = 'pump';
    switch (this.#phase) {
      case 'quiet':
        return 0;
      case 'pump':
        if (pressurePa < plan.aimPa) return this.#pump(plan.pump, atS, pressurePa);
        this.lastRiseS = atS;
        this.#phase = plan.letBackToPa === null ? 'hold' : 'let back';
        if (plan.letBackToPa === null) this.rampEndS = atS;
        return 0;
      case 'let back':
        if (pressurePa > (plan.letBackToPa ?? 0)) return -3e5;
        this.#phase = 'hold';
        this.rampEndS = atS;
        return 0;
      case 'hold':
        return this.#hold(atS, pressurePa);
      case 'bleed':
        return -pressurePa / plan.bleedTauS;
    }
  }

  #hold(atS: number, pressurePa: number): number {
    const plan = this.#plan;
    const sinceS = atS - (this.rampEndS ?? 0);
    if (sinceS >= plan.heldS) {
      this.#phase = 'bleed';
      return 0;
    }
    const topUp = plan.topUps[this.#topUp];
    if (topUp && sinceS >= topUp.afterS) {
      if (pressurePa < topUp.toPa) {
        this.lastRiseS = atS;
        return topUp.paPerS;
      }
      this.#topUp += 1;
    }
    let rate = 0;
    for (const feed of plan.feeds) {
      if (feed.kind === 'steady') {
        if (atS >= feed.fromS && atS < feed.fromS + feed.overS) rate += feed.totalPa / feed.overS;
      } else for (const at of feed.atS) if (atS >= at && atS < at + feed.lastsS) rate += feed.eachPa / feed.lastsS;
    }
    return rate;
  }

  #pump(pump: Pump, atS: number, pressurePa: number): number {
    if (pump.kind === 'steady') return pump.paPerS;
    if (pump.kind === 'hand') return this.#strokes(atS, pump.paPerS * pump.strokeS, pump.strokeS, pump.uneven);
    if (pressurePa < pump.pauseAtPa) return pump.paPerS;
    this.#pausedUntilS ??= atS + pump.pauseS;
    return atS < this.#pausedUntilS ? 0 : this.#strokes(atS, pump.strokePa, pump.strokeS, 0.15);
  }

  /** A stroke delivers in the first half of its time. */
  #strokes(atS: number, eachPa: number, lastsS: number, uneven: number): number {
    if (atS >= this.#strokeUntilS) {
      const lasts = lastsS * Math.exp(uneven * this.#chance.normal());
      this.#strokeUntilS = atS + lasts;
      this.#strokePaPerS = (eachPa * Math.exp(uneven * this.#chance.normal())) / (lasts / 2);
      this.#pushUntilS = atS + lasts / 2;
    }
    return atS < this.#pushUntilS ? this.#strokePaPerS : 0;
  }
}
