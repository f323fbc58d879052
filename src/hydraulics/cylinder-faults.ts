import { testablePorts } from './coverage.js';
import type { Cylinder } from './cylinder.js';

/** A measure that can't be, with the field it stands in. */
export interface CylinderFault {
  readonly field: keyof Cylinder;
  /** A sentence without figures in it, ready for an error message. */
  readonly text: string;
}

/**
 * What makes a cylinder impossible; empty for one that can exist. The first fault is the one to report.
 * @example cylinderFaults(bore 50, rod 56)[0] // { field: 'rodM', text: 'the rod is not thinner than the bore' }
 */
export function cylinderFaults(cylinder: Cylinder): readonly CylinderFault[] {
  const faults: CylinderFault[] = [];
  const unless = (sound: boolean, field: keyof Cylinder, text: string): void => {
    if (!sound) faults.push({ field, text });
  };
  if (cylinder.kind === 'vessel') return vesselFaults(cylinder);
  unless(positive(cylinder.boreM), 'boreM', 'the bore must be more than zero');
  unless(positive(cylinder.strokeM), 'strokeM', 'the stroke must be more than zero');
  unless(positive(cylinder.ratedPressurePa), 'ratedPressurePa', 'the rated pressure must be more than zero');
  unless(cylinder.rodM >= 0 && Number.isFinite(cylinder.rodM), 'rodM', 'the rod must not be less than zero');
  unless(cylinder.rodM < cylinder.boreM, 'rodM', 'the rod is not thinner than the bore');
  const needsRod = testablePorts(cylinder.kind).includes('B') && cylinder.kind !== 'telescopic';
  unless(
    !needsRod || cylinder.rodM > 0,
    'rodM',
    `a ${cylinder.kind} cylinder has oil around its rod: it needs a rod diameter`,
  );
  if (cylinder.barrelOutsideM !== undefined)
    unless(cylinder.barrelOutsideM > cylinder.boreM, 'barrelOutsideM', 'the barrel is not thicker than its bore');
  const bores = cylinder.stageBoresM ?? [];
  const strokes = cylinder.stageStrokesM;
  if (cylinder.kind === 'telescopic') {
    unless(bores.every(positive), 'stageBoresM', 'every stage bore must be more than zero');
    unless(descending(bores), 'stageBoresM', 'the stage bores must be written largest first');
    unless(
      Math.abs((bores[0] ?? cylinder.boreM) - cylinder.boreM) < 1e-6,
      'boreM',
      'the bore is not that of the largest stage',
    );
    unless((bores.at(-1) ?? cylinder.boreM) > cylinder.rodM, 'rodM', 'the rod is not thinner than the last stage');
    if (strokes !== undefined) {
      unless(strokes.every(positive), 'stageStrokesM', 'every stage stroke must be more than zero');
      unless(strokes.length === bores.length, 'stageStrokesM', 'each stage bore needs one stage stroke');
      const sumM = strokes.reduce((sum, strokeM) => sum + strokeM, 0);
      unless(
        Math.abs(sumM - cylinder.strokeM) < 1e-3,
        'stageStrokesM',
        'the stage strokes do not add up to the stroke',
      );
    }
  } else
    unless(
      bores.length === 0 && strokes === undefined,
      bores.length === 0 ? 'stageStrokesM' : 'stageBoresM',
      `a ${cylinder.kind} cylinder has no stages`,
    );
  return faults;
}

function vesselFaults({ ratedPressurePa, volumeM3 = 0 }: Cylinder): readonly CylinderFault[] {
  return [
    ...(positive(volumeM3) ? [] : [{ field: 'volumeM3', text: 'the volume must be more than zero' } as const]),
    ...(positive(ratedPressurePa)
      ? []
      : [{ field: 'ratedPressurePa', text: 'the rated pressure must be more than zero' } as const]),
  ];
}

const positive = (value: number): boolean => value > 0 && Number.isFinite(value);

const descending = (values: readonly number[]): boolean =>
  values.every((value, index) => index === 0 || value < (values[index - 1] ?? Number.POSITIVE_INFINITY));
