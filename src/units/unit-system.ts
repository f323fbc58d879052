/** The units a person wants to read: one choice per quantity, so that a page never mixes them. */
export interface UnitSystem {
  readonly pressure: 'bar' | 'psi' | 'MPa' | 'kPa' | 'kgf/cm2';
  readonly pressureRate: string;
  readonly temperature: 'C' | 'F';
  readonly temperatureDifference: 'K' | 'F';
  readonly length: 'mm' | 'in';
  readonly area: 'cm2' | 'in2';
  readonly volume: 'mL' | 'in3';
  readonly flow: 'mL/min' | 'in3/min';
  readonly force: 'kN' | 'lbf';
}

const metric = {
  temperature: 'C',
  temperatureDifference: 'K',
  length: 'mm',
  area: 'cm2',
  volume: 'mL',
  flow: 'mL/min',
  force: 'kN',
} as const;

/** Ready-made systems by the name of their pressure unit. Leak rates stay in mL/min: the trade's limits are in it. */
export const unitSystems = {
  bar: { pressure: 'bar', pressureRate: 'bar/min', ...metric },
  MPa: { pressure: 'MPa', pressureRate: 'MPa/min', ...metric },
  kPa: { pressure: 'kPa', pressureRate: 'kPa/min', ...metric },
  'kgf/cm2': { pressure: 'kgf/cm2', pressureRate: 'kgf/cm2/min', ...metric },
  psi: {
    pressure: 'psi',
    pressureRate: 'psi/min',
    temperature: 'F',
    temperatureDifference: 'F',
    length: 'in',
    area: 'in2',
    volume: 'in3',
    flow: 'mL/min',
    force: 'lbf',
  },
} as const satisfies Record<string, UnitSystem>;

export type UnitSystemName = keyof typeof unitSystems;
