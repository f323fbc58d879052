import { type Chance, chance } from '../procedure/seeded.js';

/** What is pressed up, and with what. */
export type Pressed = 'cylinder' | 'line' | 'stub of the line';
export type Supply = 'booster' | 'pump then booster' | 'hand pump' | 'pump';

export interface BoosterTrace {
  readonly readings: readonly { readonly s: number; readonly pa: number }[];
  /** Strokes of which at least half came out, and whether the last one was stopped so near the half that either count is right. */
  readonly strokes: number;
  readonly lastAtHalf: boolean;
  /** When each stroke began, s. */
  readonly beganS: readonly number[];
  readonly targetPa: number;
  readonly strokeM3: number;
  /** Solid give of the whole cylinder and of the line alone, m3/Pa, as they really are. */
  readonly cylinderM3PerPa: number;
  readonly lineM3PerPa: number;
  readonly volumeM3: number;
  readonly airShare: number;
}

const stepS = 0.005;
const atmospherePa = 101_325;

function drawn({ between, uniform, normal }: Chance, supply: Supply, airShare: number) {
  const octaves = (low: number, high: number): number => low * (high / low) ** uniform();
  const targetPa = Math.round(between(150, 450)) * 1e5;
  const volumeM3 = octaves(0.8e-3, 20e-3);
  const modulusPa = 1.5e9 * (1 + 0.05 * normal());
  const hand = supply === 'hand pump';
  return {
    targetPa,
    aimPa: targetPa * between(1.005, 1.03),
    volumeM3,
    modulusPa,
    /** Oil and walls stiffen as the pressure rises. */
    stiffening: between(3, 8),
    lineShare: between(0.04, 0.12),
    strokePa: octaves(2e5, supply === 'pump then booster' ? 12e5 : 25e5),
    strokeS: hand ? between(1, 2.2) : between(0.8, 2),
    duty: between(0.35, 0.65),
    sine: uniform() < 0.4,
    unevenS: hand ? between(0.08, 0.2) : between(0.02, 0.1),
    uneven: hand ? between(0.05, 0.2) : between(0.005, 0.05),
    stallPa: targetPa * between(1.3, 2.5),
    slows: !hand,
    pumpToPa: { booster: 0, 'hand pump': 0, pump: 2 * targetPa, 'pump then booster': targetPa * between(0.35, 0.7) }[
      supply
    ],
    pumpPaPerS: octaves(1.5e5, 9e5),
    pauseS: between(2, 15),
    airShare,
    creepShare: between(0, 0.01),
    creepS: between(5, 40),
    noisePa: octaves(2e3, 12e3),
    lagS: between(0, 0.12),
    jitter: between(0, 0.05),
    zeroPa: between(-3e4, 3e4),
  };
}

/**
 * A rise by pump, booster or hand pump, by the balance of oil: delivered = give x rise + air + what seals creep. Its own
 * simulator: nothing of the program's goes in.
 */
export function boosterTrace(
  seed: number,
  pressed: Pressed,
  supply: Supply,
  gauge: { readonly ratePerS: number; readonly resolutionPa: number } = { ratePerS: 5, resolutionPa: 0.5e5 },
  airShare = 0,
): BoosterTrace {
  const source = chance(seed);
  const d = drawn(source, supply, airShare);
  const { normal, uniform } = source;
  const cylinderM3PerPa = d.volumeM3 / d.modulusPa;
  const lineM3PerPa = cylinderM3PerPa * d.lineShare;
  const share = { cylinder: 1, line: d.lineShare, 'stub of the line': d.lineShare * 0.15 }[pressed];
  const strokeM3 = d.strokePa * cylinderM3PerPa;
  const give = (pa: number): number =>
    (cylinderM3PerPa * share) / (1 + (d.stiffening * pa) / 1.5e9 / 2) +
    (d.airShare * d.volumeM3 * share * atmospherePa) / (pa + atmospherePa) ** 2;
  const readings: { s: number; pa: number }[] = [];
  let [pa, shown, crept, strokes, phase, lasts, size, pausedS] = [0, 0, 0, 0, 1, 0, 0, 0];
  const quietS = 6;
  const beganS: number[] = [];
  let [nextReadS, endS] = [0, Number.POSITIVE_INFINITY];
  for (let s = 0; s < 2000 && s < endS; s += stepS) {
    let flow = 0;
    const done = pa >= d.aimPa;
    if (done) endS = Math.min(endS, s + 8);
    else if (s >= quietS && pa < d.pumpToPa && pausedS === 0) flow = d.pumpPaPerS * cylinderM3PerPa;
    else if (s >= quietS && pausedS < d.pauseS && supply === 'pump then booster') pausedS += stepS;
    else if (s >= quietS) {
      if (phase >= 1) {
        phase = 0;
        strokes += 1;
        beganS.push(s);
        const slower = d.slows ? 1 / (1 - pa / d.stallPa) : 1;
        lasts = d.strokeS * slower * Math.exp(d.unevenS * normal());
        size = strokeM3 * Math.exp(d.uneven * normal());
      }
      const out = phase / d.duty;
      if (out < 1) flow = ((size / lasts) * (d.sine ? 1 - Math.cos(2 * Math.PI * out) : 1)) / d.duty;
      phase += stepS / lasts;
    }
    const creepTo = d.creepShare * pa;
    const creep = ((creepTo - crept) * stepS) / d.creepS;
    crept += creep;
    pa = Math.max(0, pa + (flow * stepS) / give(pa) - creep);
    shown += d.lagS > 0 ? (pa - shown) * Math.min(1, stepS / d.lagS) : pa - shown;
    if (s >= nextReadS) {
      const read = (d.lagS > 0 ? shown : pa) + d.zeroPa + d.noisePa * normal();
      readings.push({ s, pa: Math.round(read / gauge.resolutionPa) * gauge.resolutionPa });
      nextReadS += (1 / gauge.ratePerS) * (1 + d.jitter * (2 * uniform() - 1));
    }
  }
  const out =
    d.sine && phase < d.duty ? phase / d.duty - Math.sin((2 * Math.PI * phase) / d.duty) / 2 / Math.PI : phase / d.duty;
  return {
    readings,
    strokes: strokes > 0 && out < 0.5 ? strokes - 1 : strokes,
    beganS,
    lastAtHalf: strokes > 0 && out > 0.3 && out < 0.7,
    targetPa: d.targetPa,
    strokeM3,
    cylinderM3PerPa,
    lineM3PerPa,
    volumeM3: d.volumeM3,
    airShare,
  };
}
