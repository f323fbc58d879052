import { orificeFlow } from '../hydraulics/leak-law.js';
import { lineVolume } from '../hydraulics/stiffness.js';
import type { SimulatedBench } from '../simulated-bench.js';
import { type MotionEvent, Piston, type SimulatedPiston } from './piston.js';

/** Slow strokes before the hold, by hand: brought up slowly until the rod moves, then opened, let go at the stop. */
export interface StrokeScript {
  readonly count: number;
  /** The gauge stands at zero so long before each, s. */
  readonly restS: number;
  /** Rise until the rod moves, Pa/s. */
  readonly creepPaPerS: number;
  /** Oil for the stroke itself, m3/s, opened to over two seconds once the rod moves. */
  readonly flowM3PerS: number;
  /** The pump is stopped at this dial reading: the piston stands at its end. */
  readonly stopPa: number;
  /** The relief valve, set low for the strokes, Pa. */
  readonly reliefPa: number;
  /** Let go at this part of the stroke, on the way; absent: at the stop. */
  readonly letGoAt?: number;
  /** The last stroke is not let go: it goes on into the test. */
  readonly intoTest?: boolean;
}

/** What really happened in one stroke. Microseconds on the gauge's clock, gauge pascals. */
export interface TrueStroke {
  readonly fromUs: number;
  readonly endUs: number;
  /** When and at what pressure the piston first moved; null when it never did. */
  readonly brokeAwayUs: number | null;
  readonly breakAwayPa: number | null;
  /** Mean pressure from the full opening of the pump to the end of the travel. */
  readonly runningPa: number | null;
  /** Slips in that time, and their mean height from grip to catch, Pa. */
  readonly slips: number;
  readonly slipPa: number | null;
  readonly reachedStop: boolean;
}

/** The valve is opened over this time, s; with no motion the hand gives up after so long at the stop reading, s. */
const openingS = 2;
const puzzledS = 6;
/** A rod that has moved so far is noticed, on the rod or by the dial that falls, m. */
const seenM = 2e-5;

type Part = 'rest' | 'creep' | 'run' | 'at stop' | 'let go' | 'return';

/** The strokes of one port, moved on in time. */
export class Stroking {
  readonly #bench: SimulatedBench;
  readonly #script: StrokeScript;
  readonly #of: SimulatedPiston;
  readonly done: TrueStroke[] = [];
  #part: Part = 'rest';
  #sinceS = 0;
  #s = 0;
  #fromS = 0;
  #runFrom = { s: 0, event: 0 };
  #ran: { readonly meanPa: number | null; readonly events: number } | null = null;
  #piston: Piston;

  constructor(bench: SimulatedBench, script: StrokeScript, of: SimulatedPiston) {
    this.#bench = bench;
    this.#script = script;
    this.#of = of;
    this.#piston = this.#fresh();
  }

  get pressurePa(): number {
    return this.#part === 'return' ? this.#returnPa : this.#piston.pressurePa;
  }

  get oppositePa(): number {
    return this.#part === 'return' ? 0 : this.#piston.backPa;
  }

  get finished(): boolean {
    return this.done.length >= this.#script.count && this.#part === 'rest';
  }

  /** @param untilS seconds since the strokes began */
  advanceTo(untilS: number, usOf: (s: number) => number): void {
    while (this.#s < untilS - 1e-9 && !this.finished) {
      const spanS = Math.min(untilS - this.#s, 0.02);
      this.#move(spanS);
      this.#s += spanS;
      this.#look(usOf);
    }
  }

  #fresh(): Piston {
    const bench = this.#bench;
    const line = lineVolume(bench);
    const stuck = bench.connected === 'cylinder' ? this.#of : { ...this.#of, ...shutOff };
    return new Piston(
      stuck,
      {
        bulkModulusPa: bench.oil.bulkModulusPa,
        ...(bench.chamber.wallModulusPa === undefined ? {} : { wallModulusPa: bench.chamber.wallModulusPa }),
        airFraction: bench.oil.airFraction,
        lineM3: line.volumeM3,
        hoseM3PerPa: bench.line.hoseM3PerPa,
      },
      this.#script.restS,
    );
  }

  get #forS(): number {
    return this.#s - this.#sinceS;
  }

  get #returnPa(): number {
    const { flowM3PerS } = this.#script;
    const back = (this.#of.returnPaPerM3PerS * flowM3PerS * this.#of.areaM2) / this.#of.otherAreaM2;
    return back * Math.min(1, this.#forS / 0.5);
  }

  #move(spanS: number): void {
    const { creepPaPerS, flowM3PerS, reliefPa } = this.#script;
    const piston = this.#piston;
    switch (this.#part) {
      case 'creep':
        return piston.advance(spanS, Math.min(flowM3PerS, creepPaPerS * piston.giveM3PerPa), reliefPa);
      case 'run': {
        const slow = Math.min(flowM3PerS, creepPaPerS * piston.giveM3PerPa);
        const opened = Math.min(1, this.#forS / openingS);
        return piston.advance(spanS, slow + opened * (flowM3PerS - slow), reliefPa);
      }
      case 'at stop':
        return piston.advance(spanS, this.#forS < 1.5 ? flowM3PerS : 0, reliefPa);
      case 'let go': {
        const { bleedM3PerSPerSqrtPa } = this.#bench.supply;
        const out = orificeFlow(bleedM3PerSPerSqrtPa, Math.max(0, piston.pressurePa), 10_000);
        return piston.advance(
          spanS,
          -Math.min(out, (Math.max(0, piston.pressurePa) * piston.giveM3PerPa) / spanS),
          reliefPa,
        );
      }
      case 'rest':
      case 'return':
        return;
    }
  }

  #look(usOf: (s: number) => number): void {
    const { restS, stopPa, letGoAt, count, intoTest, flowM3PerS } = this.#script;
    const piston = this.#piston;
    switch (this.#part) {
      case 'rest':
        if (this.done.length < count && this.#forS >= restS) {
          this.#piston = this.#fresh();
          this.#fromS = this.#s;
          this.#to('creep');
        }
        return;
      case 'creep':
        if (piston.positionM > seenM) this.#to('run');
        else if (piston.pressurePa >= stopPa) this.#to('at stop');
        return;
      case 'run':
        if (this.#forS < openingS) {
          piston.beginMean();
          this.#runFrom = { s: this.#s, event: piston.events.length };
        }
        if (piston.pressurePa >= stopPa) this.#to('at stop');
        else if (letGoAt !== undefined && piston.positionM >= letGoAt * this.#of.strokeM) this.#to('let go');
        return;
      case 'at stop':
        if (this.#forS < (piston.positionM > seenM ? 2 : puzzledS)) return;
        if (intoTest === true && this.done.length + 1 === count) {
          this.#close(usOf);
          this.#to('rest');
        } else this.#to('let go');
        return;
      case 'let go':
        if (this.#forS < 4) return;
        this.#close(usOf);
        this.#to(piston.positionM > seenM && this.done.length < count ? 'return' : 'rest');
        return;
      case 'return': {
        const takesS = (piston.positionM * this.#of.otherAreaM2) / flowM3PerS;
        if (this.#forS >= takesS) this.#to('rest');
      }
    }
  }

  #to(part: Part): void {
    // What follows the run, a fall to zero or a rise at the stop, is no part of its mean.
    if (this.#part === 'run') this.#ran = { meanPa: this.#piston.meanPa, events: this.#piston.events.length };
    if (part === 'creep') this.#ran = null;
    this.#part = part;
    this.#sinceS = this.#s;
    if (part === 'rest' && this.done.length < this.#script.count) this.#piston = this.#fresh();
  }

  #close(usOf: (s: number) => number): void {
    const { events } = this.#piston;
    const first = events.find(({ what }) => what === 'broke away');
    const { slips, slipPa } = slipsIn(events.slice(this.#runFrom.event, this.#ran?.events));
    this.done.push({
      fromUs: usOf(this.#fromS),
      endUs: usOf(this.#s),
      brokeAwayUs: first ? usOf(this.#fromS + first.s) : null,
      breakAwayPa: first?.pa ?? null,
      runningPa: first ? (this.#ran?.meanPa ?? null) : null,
      slips,
      slipPa,
      reachedStop: this.#piston.atStop,
    });
  }
}

/** A shut valve or no cylinder: nothing moves, whatever the pressure. */
const shutOff = {
  deadM3: 0,
  friction: {
    slidingN: Number.MAX_VALUE,
    staticN: Number.MAX_VALUE,
    restingN: Number.MAX_VALUE,
    gripsS: 1,
    stribeckMPerS: 1,
    viscousNsPerM: 0,
  },
} as const;

/** Slips from a pressure of grip to the one at which the piston catches again. */
function slipsIn(events: readonly MotionEvent[]): { readonly slips: number; readonly slipPa: number | null } {
  const heights: number[] = [];
  for (const [index, event] of events.entries()) {
    const next = events[index + 1];
    if (event.what === 'broke away' && next?.what === 'stuck') heights.push(event.pa - next.pa);
  }
  const sum = heights.reduce((total, height) => total + height, 0);
  return { slips: heights.length, slipPa: heights.length > 0 ? sum / heights.length : null };
}
