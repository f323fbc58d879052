import { Chance } from './chance.js';
import { type Chamber, chamberOf, compliance, steel } from './geometry.js';
import { heatField } from './heat.js';
import type { HoldSpec } from './hold-spec.js';
import { creepPaPerS, leakPaPerS } from './losses.js';
import { Operator } from './operator.js';

/** Step of the integration, s. */
export const stepS = 0.1;
/** At zero after the bleed-down. */
const afterS = 30;

/** What happened in the cylinder, at every step; sums count from the log's first row and are worth so much pressure. */
export interface Course {
  readonly steps: number;
  readonly cylinderPa: Float64Array;
  /** Pressure where the gauge sits: the cylinder's until a valve is shut between them. */
  readonly gaugePa: Float64Array;
  readonly oilK: Float64Array;
  readonly barrelK: Float64Array;
  readonly roomK: Float64Array;
  readonly leakPa: Float64Array;
  readonly creepPa: Float64Array;
  readonly fedPa: Float64Array;
  /** Rise by the temperatures of oil and steel (compression and exchange). */
  readonly heatPa: Float64Array;
  readonly rampEndS: number;
  readonly lastRiseS: number;
  readonly bleedS: number;
  readonly chamber: Chamber;
}

/** Simulates a hold; `leaksUntilS`: as it would have gone on had all leaks stopped then. */
export function simulateCourse(spec: HoldSpec, leaksUntilS = Number.POSITIVE_INFINITY): Course {
  const chamber = chamberOf(spec.cylinder);
  const field = heatField(spec, chamber);
  const operator = new Operator(spec.operator, Chance.of(spec.seed, 'operator'));
  const { oil, cylinder, test, room } = spec;
  const longest = Math.ceil((spec.operator.quietBeforeS + 600 + spec.operator.heldS + 120) / stepS);
  const column = (): Float64Array => new Float64Array(longest);
  const [cylinderPa, gaugePa, oilK, barrelK, roomK] = [column(), column(), column(), column(), column()];
  const [leakPa, creepPa, fedPa, heatPa] = [column(), column(), column(), column()];
  const cOf = (pressurePa: number): number => compliance(cylinder, chamber, oil, spec.airFraction, pressurePa);
  const testC = cOf(test.targetPa);
  let [pa, leak, creep, fed, heat] = [0, 0, 0, 0, 0];
  let shutPa: number | null = null;
  let [bledAtS, endS] = [0, Number.POSITIVE_INFINITY];
  let at = 0;
  for (; at < longest && at * stepS < endS; at += 1) {
    const timeS = at * stepS;
    const kelvins = room.startK + room.driftKPerS * timeS;
    const { valveShutAtS } = spec.operator;
    if (valveShutAtS !== null && timeS >= valveShutAtS) shutPa ??= pa;
    if (shutPa !== null && operator.bleeding) shutPa += -(shutPa * stepS) / spec.operator.bleedTauS;
    cylinderPa[at] = pa;
    gaugePa[at] = shutPa ?? pa;
    oilK[at] = field.oilK;
    barrelK[at] = field.barrelK;
    roomK[at] = kelvins;
    leakPa[at] = leak;
    creepPa[at] = creep;
    fedPa[at] = fed;
    heatPa[at] = heat;
    const c = cOf(pa);
    const pumped = operator.paPerS(timeS, pa) * stepS * c;
    const sinceS = timeS - (operator.rampEndS ?? Number.POSITIVE_INFINITY);
    const crept = spec.creep && pa > 0 ? creepPaPerS(spec.creep, test.dwellS, sinceS) * stepS * testC : 0;
    let leaked = 0;
    for (const one of timeS < leaksUntilS ? spec.leaks : [])
      leaked += leakPaPerS(one, timeS, pa, test.targetPa) * stepS * testC;
    // Heat exchanged in this step first, then the pressure that oil, steel and their warming by compression agree on.
    const beforeRodK = field.rodK;
    field.step(stepS, kelvins);
    const grown =
      oil.expansionPerK * chamber.volumeM3 * (field.oilK - (oilK[at] ?? 0)) -
      3 *
        steel.expansionPerK *
        (chamber.boreM3 * (field.barrelK - (barrelK[at] ?? 0)) - chamber.rodM3 * (field.rodK - beforeRodK));
    if (operator.vented) continue;
    const warming = field.warmingPerPa();
    const stiffC = c - chamber.volumeM3 * oil.expansionPerK * warming;
    const rise = (pumped - leaked - crept + grown) / stiffC;
    field.compress(warming * rise);
    pa += rise;
    leak += leaked / c;
    creep += crept / c;
    fed += pumped / c;
    heat += (grown + chamber.volumeM3 * oil.expansionPerK * warming * rise) / c;
    if (operator.bleeding && bledAtS === 0) bledAtS = timeS;
    if (bledAtS > 0 && endS === Number.POSITIVE_INFINITY && (shutPa ?? pa) < 1e4) endS = timeS + afterS;
    if (pa < 0) pa = 0;
  }
  const cut = (whole: Float64Array): Float64Array => whole.subarray(0, at);
  return {
    steps: at,
    cylinderPa: cut(cylinderPa),
    gaugePa: cut(gaugePa),
    oilK: cut(oilK),
    barrelK: cut(barrelK),
    roomK: cut(roomK),
    leakPa: cut(leakPa),
    creepPa: cut(creepPa),
    fedPa: cut(fedPa),
    heatPa: cut(heatPa),
    rampEndS: operator.rampEndS ?? Number.NaN,
    lastRiseS: operator.lastRiseS,
    bleedS: bledAtS,
    chamber,
  };
}

/** A column at any time, between its steps on a straight line. */
export function valueAt(column: Float64Array, atS: number): number {
  const place = Math.min(Math.max(atS / stepS, 0), column.length - 1);
  const low = Math.min(Math.floor(place), column.length - 2);
  const [from, to] = [column[low] ?? 0, column[low + 1] ?? 0];
  return from + (to - from) * (place - low);
}
