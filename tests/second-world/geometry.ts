import type { Cylinder, Oil } from './hold-spec.js';

export const steel = { modulusPa: 207e9, poisson: 0.3, densityKgPerM3: 7850, heatJPerKgK: 480, expansionPerK: 11.7e-6 };

/** What a port's chamber is made of. SI. */
export interface Chamber {
  /** Oil of the chamber alone, and with that of the line. */
  readonly chamberM3: number;
  readonly volumeM3: number;
  /** Volume that bore and rod span: what each changes when its steel warms. */
  readonly boreM3: number;
  readonly rodM3: number;
  readonly barrelAreaM2: number;
  readonly barrelHeatJPerK: number;
  readonly outsideAreaM2: number;
  readonly rodAreaM2: number;
  readonly rodHeatJPerK: number;
  readonly barrelModulusPa: number;
  /** Gap across which the oil turns over. */
  readonly gapM: number;
}

const circle = (diameterM: number): number => (Math.PI * diameterM ** 2) / 4;

/** Thick barrel, bore dilation, open ends (Lame): 1/K = (2/E)[(Do2+Di2)/(Do2-Di2) + nu]. */
export function barrelModulusPa(boreM: number, outsideM: number): number {
  const ratio = (outsideM ** 2 + boreM ** 2) / (outsideM ** 2 - boreM ** 2);
  return steel.modulusPa / (2 * (ratio + steel.poisson));
}

export function chamberOf(c: Cylinder): Chamber {
  const outsideM = c.boreM + 2 * c.wallM;
  const boreM3 = circle(c.boreM) * c.strokeM;
  const rodM3 = c.port === 'B' ? circle(c.rodM) * c.strokeM : 0;
  const chamberM3 = boreM3 - rodM3;
  /** Cap and piston, or head and piston: as far as heat gets in minutes. */
  const endsM = 0.02;
  const endArea = c.port === 'B' ? circle(c.boreM) - circle(c.rodM) : circle(c.boreM);
  const steelHeat = steel.densityKgPerM3 * steel.heatJPerKgK;
  return {
    chamberM3,
    volumeM3: chamberM3 + c.lineM3,
    boreM3,
    rodM3,
    barrelAreaM2: Math.PI * c.boreM * c.strokeM + 2 * endArea,
    barrelHeatJPerK: steelHeat * ((circle(outsideM) - circle(c.boreM)) * c.strokeM + 2 * endArea * endsM),
    outsideAreaM2: Math.PI * outsideM * c.strokeM,
    rodAreaM2: c.port === 'B' ? Math.PI * c.rodM * c.strokeM : 0,
    rodHeatJPerK: c.port === 'B' ? steelHeat * rodM3 : 0,
    barrelModulusPa: barrelModulusPa(c.boreM, outsideM),
    gapM: c.port === 'B' ? (c.boreM - c.rodM) / 2 : c.boreM,
  };
}

const atmospherePa = 101_325;

/** Volume taken by a rise of one pascal at one temperature, m3/Pa: oil, barrel, line and free air (Boyle). */
export function compliance(
  cylinder: Cylinder,
  chamber: Chamber,
  oil: Oil,
  airFraction: number,
  pressurePa: number,
): number {
  const absolutePa = Math.max(pressurePa, 0) + atmospherePa;
  const airM3 = (airFraction * chamber.volumeM3 * atmospherePa) / absolutePa;
  return (
    chamber.volumeM3 / (oil.modulusPa + oil.modulusRise * Math.max(pressurePa, 0)) +
    chamber.boreM3 / chamber.barrelModulusPa +
    cylinder.lineM3 / cylinder.lineModulusPa +
    airM3 / absolutePa
  );
}
