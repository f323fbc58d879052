import { DwellmarkError, formatQuantity } from '../../units/index.js';
import type { PortPlan, StagePlan } from '../plan-types.js';

/**
 * Refuses levels that can't hold together once they are pressures: a band that ends above the overpressure limit, a
 * void level inside its own band, a floor above its target, a bleed-down that ends above a stage.
 * @throws DwellmarkError (`input`) naming the key of the procedure.
 */
export function refuseContradictions(port: PortPlan): void {
  for (const stage of port.stages) {
    const { name, targetPa } = stage;
    if (port.overpressurePa <= targetPa)
      refuse('limits.overpressure', port.overpressurePa, `at or below the target of stage "${name}"`, targetPa);
    if (stage.voidAbovePa !== undefined && stage.voidAbovePa < highPa(stage))
      refuse(
        `stage.${name}.void_above`,
        stage.voidAbovePa,
        'inside the band in which the dwell may start, up to',
        highPa(stage),
      );
    if (stage.neverBelowPa !== undefined && stage.neverBelowPa >= targetPa)
      refuse(`stage.${name}.never_below`, stage.neverBelowPa, 'not below the target of', targetPa);
    if (stage.belowPa >= targetPa)
      refuse(`stage.${name}.below`, stage.belowPa, 'as wide as the target itself,', targetPa);
    if (port.bleedDown.belowPa >= targetPa)
      refuse('bleed_down.below', port.bleedDown.belowPa, `not below the target of stage "${name}",`, targetPa);
  }
}

const highPa = ({ targetPa, abovePa }: StagePlan): number => targetPa + abovePa;

function refuse(key: string, pa: number, why: string, otherPa: number): never {
  const bar = (value: number): string => formatQuantity(value, 'pressure', 'bar', 1);
  throw new DwellmarkError('input', `${bar(pa)} is ${why} ${bar(otherPa)}`, {
    place: { key },
    advice: 'Correct one of the two in the procedure.',
  });
}
