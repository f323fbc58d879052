import type { Creep, Leak, LeakLaw } from './hold-spec.js';

/** Creep counts from so long after the last rise. */
export const creepFromS = 15;

/** Rate of a creep at a time after the last rise, Pa/s of loss; before it nothing has crept. */
export function creepPaPerS(creep: Creep, dwellS: number, sinceS: number): number {
  if (sinceS <= 0) return 0;
  const [from, to] = [creepFromS, creepFromS + dwellS];
  if (creep.law === 'power') {
    const scale = creep.lossPa / (to ** creep.exponent - from ** creep.exponent);
    return scale * creep.exponent * Math.max(sinceS, 1) ** (creep.exponent - 1);
  }
  return creep.lossPa / Math.log((creep.timeS + to) / (creep.timeS + from)) / (creep.timeS + sinceS);
}

const power: Readonly<Record<LeakLaw, number>> = { orifice: 0.5, gap: 1, constant: 0 };

/** Rate of a leak, Pa/s of loss at the stiffness of the test pressure. */
export function leakPaPerS(leak: Leak, atS: number, pressurePa: number, testPa: number): number {
  if (pressurePa <= 0) return 0;
  return courseOf(leak, atS) * (pressurePa / testPa) ** power[leak.law];
}

function courseOf({ course }: Leak, atS: number): number {
  switch (course.kind) {
    case 'steady':
      return course.paPerS;
    case 'late':
      return atS >= course.fromS ? course.paPerS : 0;
    case 'stopping':
      return atS < course.untilS ? course.paPerS : 0;
    case 'growing': {
      const share = (atS - course.fromS) / course.overS;
      if (share <= 0) return 0;
      return ((course.totalPa * (course.power + 1)) / course.overS) * share ** course.power;
    }
    case 'bursts': {
      const under = course.atS.filter((at) => atS >= at && atS < at + course.lastsS).length;
      return (under * course.eachPa) / course.lastsS;
    }
  }
}
