import { type Pressure, pressurePa } from '../../units/index.js';
import type { Level, Procedure, ProcedureStage } from '../procedure.js';

/** What a level may be a share of, Pa. */
export interface LevelBasis {
  readonly ratedPa: number;
  readonly testPa: number;
  readonly targetPa: number;
}

/**
 * A level in pascals.
 * @example levelPa({ of: 'rated', fraction: 1.5, … }, { ratedPa: 160e5, … }) // 240e5
 */
export function levelPa(level: Level, basis: LevelBasis): Pressure {
  switch (level.of) {
    case 'itself':
      return pressurePa(level.pa);
    case 'rated':
      return pressurePa(level.fraction * basis.ratedPa);
    case 'test':
      return pressurePa(level.fraction * basis.testPa);
    case 'target':
      return pressurePa(level.fraction * basis.targetPa);
  }
}

/** The test pressure: the highest stage target that is not itself a share of it. */
export function testPressurePa(stages: readonly ProcedureStage[], ratedPa: Pressure): Pressure {
  const anchors = stages.flatMap(({ target }) =>
    target.of === 'itself' ? [target.pa] : target.of === 'rated' ? [target.fraction * ratedPa] : [],
  );
  return pressurePa(Math.max(0, ...anchors));
}

/** The stages of a procedure that are for this port. */
export const stagesFor = (procedure: Procedure, port: 'A' | 'B'): readonly ProcedureStage[] =>
  procedure.stages.filter((stage) => stage.ports.length === 0 || stage.ports.includes(port));
