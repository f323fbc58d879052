import { pascalsIn } from '../instrument/transducer.js';
import type { DemoScenario } from './demo-scenario.js';

export interface JobTextOptions {
  /** What stands at `procedure =`: an id or a path; the scenario's own id when absent. */
  readonly procedure?: string;
  /** ISO date of the job: the cylinder came in shortly before, and the gauge is in calibration. Absent: not stated. */
  readonly on?: string;
}

/** The scenario's job as a job file (TOML), in the units in which its customer thinks. */
export function jobText(
  scenario: DemoScenario,
  { procedure = procedureId(scenario), on }: JobTextOptions = {},
): string {
  const { cylinder, instrument, lineM3 } = scenario;
  const inUnits = writer(scenario.units);
  const [bench] = Object.values(scenario.ports);
  if (!bench) throw new Error(`scenario "${scenario.id}" has no port`);
  const { pressure } = instrument;
  const ports = Object.values(scenario.ports).map(
    ({ port, opposite, line }) => `[[port]]
name           = "${port}"
position       = "${port === 'A' ? 'extended' : 'retracted'}"
opposite       = "${opposite.kind}"
line_volume    = "${figure(lineM3 * 1e3)} L"
line_stiffness = "${figure(line.volumeM3 / line.hoseM3PerPa / 1e9)} GPa"
`,
  );
  return `# ${scenario.title}. An invented cylinder of an invented customer, on a simulated bench.

work_order = "${scenario.workOrder}"
customer   = "${scenario.customer}"
customer_address = "${scenario.customerAddress}"
procedure  = "${procedure}"
units      = "${scenario.units}"
${on === undefined ? '' : `received   = ${dayFrom(on, -6)}\ncondition  = "dismantled, resealed and reassembled; rod and ports without damage"\n`}
[gauge]
serial     = "${instrument.serial ?? 'simulated'}"
range      = "0..${figure(pressure.rangeHighPa / pascalsIn[pressure.unit])} ${pressure.unit}"
resolution = "${figure(pressure.resolution)} ${pressure.unit}"
accuracy   = "0.1 %FS"
${on === undefined ? '' : calibrationText(scenario, on)}
[cylinder]
serial         = "${cylinder.serial}"
maker          = "${cylinder.maker}"
model          = "${cylinder.model}"
bore           = "${inUnits.length(cylinder.boreM)}"
rod            = "${inUnits.length(cylinder.rodM)}"
stroke         = "${inUnits.length(cylinder.strokeM)}"
barrel_outside = "${inUnits.length(cylinder.barrelOutsideM ?? cylinder.boreM)}"
rated_pressure = "${inUnits.pressure(cylinder.ratedPressurePa)}"

[fluid]
kind = "ISO VG 46"

[bench]
pump_flow      = "${figure(bench.supply.pump.flowM3PerS * 6e7)} mL/min"
booster_stroke = "${figure(bench.supply.booster.strokeM3 * 1e6)} mL"
relief         = "${inUnits.pressure(bench.supply.relief.crackPa)}"

${ports.join('\n')}`;
}

function calibrationText({ instrument }: DemoScenario, on: string): string {
  const { unit } = instrument.pressure;
  return `
[gauge.calibration]
certificate = "BM-${instrument.serial ?? '0'}-4"
laboratory  = "Beckmoor Metrology (invented)"
date        = ${dayFrom(on, -120)}
due         = ${dayFrom(on, 245)}
uncertainty = "${unit === 'psi' ? '3 psi' : '0.2 bar'}"
`;
}

/** The ISO date so many days from another. */
const dayFrom = (on: string, days: number): string =>
  new Date(Date.parse(`${on}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);

/** The id of the procedure that the scenario's job asks for. */
export const procedureId = ({ id }: Pick<DemoScenario, 'id'>): string => `demo-${id}`;

/** The scenario's procedure as a procedure file (TOML): one proof stage. */
export function procedureText(scenario: DemoScenario): string {
  const { hold } = scenario;
  const inUnits = writer(scenario.units);
  const allowed =
    hold.allowed.kind === 'percent'
      ? `drop = "${figure(hold.allowed.fraction * 100)} %"`
      : `leak = "${figure(hold.allowed.leakM3PerS * 6e7)} mL/min"`;
  return `# Made for the demo; a real shop sets its own limits.

id       = "${procedureId(scenario)}"
title    = "Proof hold at 1.5 x rated pressure"
revision = "1"
purpose  = "Shows that the cylinder holds its proof pressure at each port named in the job."
source   = "Demo figures, set by ${scenario.customer} for this cylinder only."

[[stage]]
name      = "proof"
target    = "1.5 x rated"
ramp_max  = "${inUnits.rate(hold.rampMaxPaPerS, 's')}"
stabilise = { rate = "${inUnits.rate(hold.stabilise.ratePaPerS * 60, 'min')}", for = "${hold.stabilise.forS} s", give_up_after = "${hold.stabilise.giveUpAfterS / 60} min" }
dwell     = "${hold.dwellS / 60} min"
allowed_decay = { ${allowed} }
decision  = "guarded"
look = [
  "rod seal and wiper: a film is allowed, a drop or a ring is not",
  "gland O-ring, head thread or bolts, port bosses, welds",
  "oil from the open opposite port: let decompression oil stop first, then collect and time it",
]

[limits]
overpressure = "106 %"
`;
}

/** Seven digits, no crumbs of binary arithmetic. */
const figure = (value: number): string => String(Number(value.toPrecision(7)));

function writer(units: DemoScenario['units']): {
  readonly length: (m: number) => string;
  readonly pressure: (pa: number) => string;
  /** Pascals in one of the time. */
  readonly rate: (pa: number, time: 's' | 'min') => string;
} {
  const inPressure = (pa: number): string => figure(pa / pascalsIn[units]);
  return {
    length: (m) => (units === 'bar' ? `${figure(m * 1000)} mm` : `${figure(m / 0.0254)} in`),
    pressure: (pa) => `${inPressure(pa)} ${units}`,
    rate: (pa, time) => `${inPressure(pa)} ${units}/${time}`,
  };
}
