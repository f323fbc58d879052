import type { PortFigures } from '../figures.js';

export type CoursePart = 'ramp' | 'stabilise' | 'dwell' | 'bleed-down';

/** One straight piece of the pressure that a hold is expected to show. */
export interface CoursePiece {
  readonly part: CoursePart;
  readonly fromS: number;
  readonly toS: number;
  readonly fromPa: number;
  readonly toPa: number;
}

/** How long a bleed-down is drawn, s: nobody plans it, it takes what it takes. */
const drawnBleedDownS = 20;

/**
 * The pressure of one port against time as the plan expects it: ramps at their greatest rate, settling for the time
 * demanded, dwells at the target of a tight cylinder. A dwell that counts from the last rise holds its settling.
 * @example one stage of 240 bar, 10 bar/s, 30 s, 5 min: ends at 24 + 300 + 20 s
 */
export function expectedCourse(port: PortFigures): readonly CoursePiece[] {
  const pieces: CoursePiece[] = [];
  let [timeS, pa] = [0, 0];
  const go = (part: CoursePart, lastsS: number, toPa: number): void => {
    pieces.push({ part, fromS: timeS, toS: timeS + lastsS, fromPa: pa, toPa });
    timeS += lastsS;
    pa = toPa;
  };
  for (const stage of port.stages) {
    const ratePaPerS = stage.targetPa / stage.rampS;
    go('ramp', Math.abs(stage.targetPa - pa) / ratePaPerS, stage.targetPa);
    go('stabilise', stage.stabiliseForS, stage.targetPa);
    const settledS = stage.judge === 'plain drop' ? 0 : Math.min(stage.stabiliseForS, stage.dwellS);
    go('dwell', stage.dwellS - settledS, stage.targetPa);
  }
  go('bleed-down', drawnBleedDownS, 0);
  return pieces;
}
