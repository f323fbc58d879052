import type { Cylinder } from '../cylinder.js';
import { circleM2 } from './circle.js';

/**
 * One stage of a telescopic cylinder, in the order in which the stages move out at port A (largest first).
 * Areas in m2, stroke in m.
 */
export interface TelescopicStage {
  /** The diameter that this stage seals on, m. */
  readonly boreM: number;
  /** Area on which oil at port A pushes while this stage moves out. */
  readonly pushM2: number;
  /** Ring between this stage and the next on which oil at port B pulls; 0 when there is no retract chamber. */
  readonly pullM2: number;
  /** Its share of the stroke. */
  readonly strokeM: number;
}

/**
 * The stages of a telescopic cylinder; one stage, the bore itself, when no stage bores are given. Strokes that are not
 * given are taken as equal, and sleeve walls as thin. `rodM` > 0 says that the cylinder is double-acting and is the diameter
 * of the innermost rod; with 0 nothing pulls it back but the load.
 * @example stages of 120, 100 and 80 mm: push areas 113.1, 78.5 and 50.3 cm2
 */
export function telescopicStages(cylinder: Cylinder): readonly TelescopicStage[] {
  const bores = stageBores(cylinder);
  return bores.map((boreM, index) => {
    const insideM = bores[index + 1] ?? cylinder.rodM;
    return {
      boreM,
      pushM2: circleM2(boreM),
      pullM2: cylinder.rodM > 0 ? circleM2(boreM) - circleM2(insideM) : 0,
      strokeM: cylinder.stageStrokesM?.[index] ?? cylinder.strokeM / bores.length,
    };
  });
}

const stageBores = (cylinder: Cylinder): readonly number[] =>
  cylinder.stageBoresM && cylinder.stageBoresM.length > 0 ? cylinder.stageBoresM : [cylinder.boreM];
