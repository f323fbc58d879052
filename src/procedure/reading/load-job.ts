import { z } from 'zod';
import {
  type Cylinder,
  type CylinderKind,
  cylinderFaults,
  type OppositePort,
  type PistonPosition,
  type PortName,
  testablePorts,
} from '../../hydraulics/index.js';
import { pressurePa, temperatureDifferenceK, type UnitSystemName, unitSystems } from '../../units/index.js';
import type { Job, JobBench, JobGauge, JobPort } from '../job.js';
import { isoDate, line, quantity, words } from './fields.js';
import { fluidOf, fluidTable } from './fluid-table.js';
import { gaugeOf, gaugeTable } from './gauge-table.js';
import { impossibleHold } from './impossible-hold.js';
import { factsOf, ofCylinder, ofJob } from './job-facts-table.js';
import { readToml, refusal, shaped, type TomlText } from './toml-text.js';
import { ofVessel, refuseUnfit, vesselOf } from './vessel.js';

const kinds = [
  'double-acting',
  'double-rod',
  'single-acting',
  'single-acting pull',
  'plunger',
  'telescopic',
  'vessel',
] as const satisfies CylinderKind[];
const positions = ['extended', 'retracted', 'mid-stroke restrained'] as const satisfies PistonPosition[];
const opposites = ['open', 'blocked', 'gauge'] as const satisfies OppositePort[];
const portNames = ['A', 'B'] as const satisfies PortName[];
const units = Object.keys(unitSystems) as [UnitSystemName, ...UnitSystemName[]];

const cylinderTable = z.strictObject({
  serial: words('"C-1042"'),
  maker: line().optional(),
  model: line().optional(),
  kind: z.enum(kinds).optional(),
  bore: quantity('length', '"100 mm"').optional().describe('"100 mm"'),
  rod: quantity('length', '"56 mm"').optional(),
  stroke: quantity('length', '"500 mm"').optional().describe('"500 mm"'),
  rated_pressure: quantity('pressure', '"160 bar"'),
  test_pressure_max: quantity('pressure', '"320 bar"').optional(),
  end_stops: words('"rated for 300 bar: drawing 4711"').optional(),
  barrel_outside: quantity('length', '"120 mm"').optional(),
  stage_bores: z
    .array(quantity('length', '"63 mm"'))
    .min(2, 'a telescopic cylinder has at least two stages')
    .optional(),
  stage_strokes: z.array(quantity('length', '"300 mm"')).optional(),
  retract_passages: words('"stay open at every stage: drawing 4711"').optional(),
  ...ofVessel,
  ...ofCylinder,
});

const portTable = z.strictObject({
  name: z.enum(portNames).describe('"A"'),
  position: z.enum(positions).describe('"extended"').optional(),
  opposite: z.enum(opposites).describe('"open"').optional(),
  gauge: words('"SN 40117"').optional(),
  opposite_gauge: words('"SN 40118"').optional(),
  restrained: z.boolean().optional(),
  rated_pressure: quantity('pressure', '"100 bar"').optional(),
  relief: quantity('pressure', '"150 bar"').optional(),
  line_volume: quantity('volume', '"0.4 L"', 'not negative').optional(),
  line_stiffness: quantity('modulus', '"1.5 GPa"').optional(),
  trapped_volume: quantity('volume', '"4.3 L"').optional(),
});

const jobTable = (data: TomlText['data']) =>
  z.strictObject({
    work_order: words('"WO-2207"'),
    customer: words('"…"'),
    customer_address: words('"…"').optional(),
    procedure: words('"cylinder-proof"'),
    gauge: typeof data.gauge === 'object' ? gaugeTable : words('"SN 40117"'),
    oil_probe: words('"OT 12"').optional(),
    ...ofJob,
    condition: line().optional(),
    received: isoDate('2026-03-14').optional(),
    units: z.enum(units).optional(),
    oil_temperature_change: quantity('temperature-difference', '"0.1 K"', 'not negative').optional(),
    cylinder: cylinderTable.describe('a [cylinder] table'),
    fluid: fluidTable.describe('a [fluid] table'),
    trapped: z
      .strictObject({
        volume: quantity('volume', '"4.3 L"').optional(),
        bulk_modulus: quantity('modulus', '"1.4 GPa"').optional(),
      })
      .optional(),
    bench: z
      .strictObject({
        pump_flow: quantity('flow', '"2 L/min"').optional(),
        booster_stroke: quantity('volume', '"9 mL"').optional(),
        pump_pressure: quantity('pressure', '"180 bar"').optional(),
        booster_ratio: z.number().positive('more than zero').optional(),
        booster_air: quantity('pressure', '"6 bar"').optional(),
        relief: quantity('pressure', '"250 bar"').optional(),
        hose: quantity('pressure', '"400 bar"').optional(),
        plugs: quantity('pressure', '"350 bar"').optional(),
        rod_end: quantity('force', '"250 kN"').optional(),
        weakest_part: quantity('pressure', '"350 bar"').optional(),
      })
      .optional(),
    port: z.array(portTable).min(1, 'a job tests at least one port').describe('a [[port]] table'),
  });

/** What a job file may say, key by key. Its gauge is named, or described in a table. */
export const jobSchema = jobTable({}).extend({ gauge: z.union([words('"SN 40117"'), gaugeTable]) });

type JobTable = z.output<ReturnType<typeof jobTable>>;

/**
 * Reads a job file.
 * @param text the TOML text.
 * @param options.file its name, for errors only; nothing is read from disk.
 * @throws DwellmarkError (`input`) with file, line and key: no TOML, an unknown or missing key, a figure without its
 *   unit, a cylinder that can't exist, a hold that can't be made.
 * @example readJob(text, { file: 'job.toml' }).cylinder.boreM // 0.1
 */
export function readJob(text: string, { file }: { readonly file: string }): Job {
  const document = readToml(text, { file });
  refuseUnfit(document);
  const table = shaped(document, jobTable(document.data));
  const cylinder = cylinderOf(document, table.cylinder);
  return {
    workOrder: table.work_order,
    customer: table.customer,
    ...(table.customer_address === undefined ? {} : { customerAddress: table.customer_address }),
    procedure: table.procedure,
    gauge: jobGauge(document, table.gauge),
    ...(table.oil_probe === undefined ? {} : { oilProbe: table.oil_probe }),
    cylinder,
    ...(table.cylinder.test_pressure_max === undefined
      ? {}
      : { testPressureMaxPa: pressurePa(table.cylinder.test_pressure_max) }),
    ...(table.cylinder.end_stops === undefined ? {} : { endStops: table.cylinder.end_stops }),
    ...(table.cylinder.retract_passages === undefined ? {} : { retractPassages: table.cylinder.retract_passages }),
    fluid: fluidOf(document, table.fluid),
    ...(table.fluid.air === undefined ? {} : { airFraction: table.fluid.air }),
    trapped: {
      ...(table.trapped?.volume === undefined ? {} : { volumeM3: table.trapped.volume }),
      ...(table.trapped?.bulk_modulus === undefined ? {} : { bulkModulusPa: table.trapped.bulk_modulus }),
    },
    bench: benchOf(table.bench ?? {}),
    ports: portsOf(document, table.port, cylinder),
    condition: table.condition ?? '',
    received: table.received ?? null,
    facts: factsOf(document, table),
    units: table.units ?? null,
    ...(table.oil_temperature_change === undefined
      ? {}
      : { unmeasuredTemperatureK: temperatureDifferenceK(table.oil_temperature_change) }),
  };
}

function cylinderOf(document: TomlText, table: JobTable['cylinder']): Job['cylinder'] {
  const kind = table.kind ?? 'double-acting';
  const named = { serial: table.serial, maker: table.maker ?? '', model: table.model ?? '' };
  if (kind === 'vessel') return { ...vesselOf(document, table), ...named };
  const { bore, stroke } = table;
  if (bore === undefined || stroke === undefined) {
    const key = bore === undefined ? 'bore' : 'stroke';
    throw refusal(
      document,
      ['cylinder', key],
      `"${key}" is missing`,
      `Write for example ${key} = "${bore === undefined ? 100 : 500} mm".`,
    );
  }
  const ofAnother = table.volume !== undefined ? 'volume' : table.parts !== undefined ? 'parts' : null;
  if (ofAnother !== null)
    throw refusal(
      document,
      ['cylinder', ofAnother],
      `"${ofAnother}" belongs to a vessel`,
      'Take it out, or write kind = "vessel".',
    );
  if (table.rod === undefined && testablePorts(kind).includes('B') && kind !== 'telescopic')
    throw refusal(
      document,
      ['cylinder', 'rod'],
      `"rod" is missing: a ${kind} cylinder has one`,
      'Write for example rod = "56 mm".',
    );
  if (kind === 'telescopic' && table.stage_bores === undefined)
    throw refusal(
      document,
      ['cylinder', 'stage_bores'],
      '"stage_bores" is missing',
      'List the bores of the stages, largest first.',
    );
  const cylinder: Cylinder = {
    kind,
    boreM: bore,
    rodM: table.rod ?? 0,
    strokeM: stroke,
    ratedPressurePa: pressurePa(table.rated_pressure),
    ...(table.barrel_outside === undefined ? {} : { barrelOutsideM: table.barrel_outside }),
    ...(table.stage_bores === undefined ? {} : { stageBoresM: table.stage_bores }),
    ...(table.stage_strokes === undefined ? {} : { stageStrokesM: table.stage_strokes }),
  };
  const fault = cylinderFaults(cylinder)[0];
  if (fault) {
    const raw = document.data.cylinder as Readonly<Record<string, unknown>>;
    const key = keyOf[fault.field];
    const beside = fault.field === 'stageStrokesM' ? 'stroke' : 'bore';
    const seen = [...new Set([beside, key])].filter((name) => name in raw && name !== 'kind');
    const figures = seen.map((name) => `${name} ${[raw[name]].flat().join(', ')}`).join('; ');
    throw refusal(document, ['cylinder', key], `${fault.text} (${figures})`, 'Check the measures and their units.');
  }
  return { ...cylinder, ...named };
}

const keyOf: Readonly<Record<keyof Cylinder, string>> = {
  kind: 'kind',
  boreM: 'bore',
  rodM: 'rod',
  strokeM: 'stroke',
  ratedPressurePa: 'rated_pressure',
  barrelOutsideM: 'barrel_outside',
  stageBoresM: 'stage_bores',
  stageStrokesM: 'stage_strokes',
  volumeM3: 'volume',
  parts: 'parts',
};

function jobGauge(document: TomlText, table: JobTable['gauge']): JobGauge {
  if (typeof table === 'string') return { kind: 'known', serial: table };
  const spec = gaugeOf(table);
  if ('key' in spec) throw refusal(document, ['gauge', spec.key], spec.message, spec.advice);
  return { kind: 'stated', spec };
}

const benchOf = (table: NonNullable<JobTable['bench']>): JobBench => ({
  ...(table.pump_flow === undefined ? {} : { pumpFlowM3PerS: table.pump_flow }),
  ...(table.booster_stroke === undefined ? {} : { boosterStrokeM3: table.booster_stroke }),
  ...(table.relief === undefined ? {} : { reliefPa: pressurePa(table.relief) }),
  ...(table.pump_pressure === undefined ? {} : { pumpPressurePa: pressurePa(table.pump_pressure) }),
  ...(table.booster_ratio === undefined ? {} : { boosterRatio: table.booster_ratio }),
  ...(table.booster_air === undefined ? {} : { boosterAirPa: pressurePa(table.booster_air) }),
  ...(table.hose === undefined ? {} : { hosePa: pressurePa(table.hose) }),
  ...(table.plugs === undefined ? {} : { plugsPa: pressurePa(table.plugs) }),
  ...(table.rod_end === undefined ? {} : { rodEndN: table.rod_end }),
  ...(table.weakest_part === undefined ? {} : { weakestPartPa: pressurePa(table.weakest_part) }),
});

function portsOf(document: TomlText, tables: JobTable['port'], { kind, rodM, ratedPressurePa }: Cylinder): JobPort[] {
  const seen = new Set<PortName>();
  return tables.map((table, index) => {
    const at = ['port', index];
    if (seen.has(table.name))
      throw refusal(
        document,
        [...at, 'name'],
        `port ${table.name} stands in this job twice`,
        'One [[port]] table a port.',
      );
    seen.add(table.name);
    if (kind === 'telescopic' && table.name === 'B' && rodM === 0)
      throw refusal(
        document,
        [...at, 'name'],
        'a single-acting telescopic cylinder has no port B',
        'Take this [[port]] out, or give cylinder.rod where oil draws the stages in.',
      );
    if (kind === 'vessel') refusePiston(document, table, index);
    else if (table.position === undefined)
      throw refusal(
        document,
        [...at, 'position'],
        '"position" is missing',
        'Write where the piston stands, for example position = "extended".',
      );
    if (table.opposite === undefined && kind !== 'plunger' && kind !== 'vessel')
      throw refusal(
        document,
        [...at, 'opposite'],
        '"opposite" is missing',
        'Say what is on the other port: open, blocked or gauge.',
      );
    const opposite = table.opposite ?? 'open';
    if (table.rated_pressure !== undefined && table.rated_pressure > ratedPressurePa)
      throw refusal(
        document,
        [...at, 'rated_pressure'],
        'a chamber is rated above the cylinder itself',
        'State the higher of the two chambers as cylinder.rated_pressure.',
      );
    refuseGauges(document, table, index);
    const position = table.position ?? 'no piston';
    const trouble = impossibleHold(kind, table.name, position, opposite, table.restrained === true);
    if (trouble) throw refusal(document, [...at, trouble.key], trouble.message, trouble.advice);
    return {
      port: table.name,
      position,
      opposite,
      ...(table.restrained ? { restrained: true } : {}),
      ...(table.rated_pressure === undefined ? {} : { ratedPa: pressurePa(table.rated_pressure) }),
      ...(table.relief === undefined ? {} : { reliefPa: pressurePa(table.relief) }),
      ...(table.gauge === undefined ? {} : { gauge: table.gauge }),
      ...(table.opposite_gauge === undefined ? {} : { oppositeGauge: table.opposite_gauge }),
      ...(table.line_volume === undefined ? {} : { lineVolumeM3: table.line_volume }),
      ...(table.line_stiffness === undefined ? {} : { lineStiffnessPa: table.line_stiffness }),
      ...(table.trapped_volume === undefined ? {} : { trappedVolumeM3: table.trapped_volume }),
    };
  });
}

/** A vessel has one port, and nothing in it that stands anywhere. */
function refusePiston(document: TomlText, table: JobTable['port'][number], index: number): void {
  const key = (['position', 'opposite', 'opposite_gauge', 'restrained'] as const).find(
    (one) => table[one] !== undefined,
  );
  if (key !== undefined)
    throw refusal(document, ['port', index, key], `a vessel has no "${key}": no piston, no other port`, 'Take it out.');
}

/** A gauge at the other port closes it or watches it open; it can't be on a plug, nor at both ports. */
function refuseGauges(document: TomlText, table: JobTable['port'][number], index: number): void {
  const { opposite, gauge, opposite_gauge: other } = table;
  const at = ['port', index, 'opposite_gauge'];
  if (other === undefined) return;
  if (opposite === 'blocked')
    throw refusal(
      document,
      at,
      'the other port is said to be blocked, and to carry a gauge',
      'Say opposite = "gauge".',
    );
  const own = gauge ?? (typeof document.data.gauge === 'string' ? document.data.gauge : undefined);
  if (other === own)
    throw refusal(document, at, `gauge ${other} can't be at both ports`, 'Name the gauge that is at the other port.');
}
