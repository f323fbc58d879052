import {
  dropsToM3,
  expectedStiffness,
  heatOfHold,
  holdCoverage,
  pistonAreaM2,
  type ShutIn,
  type TrappedOil,
  thrustBearer,
  thrustParts,
  trappedOil,
} from '../../hydraulics/index.js';
import { DwellmarkError, formatQuantity, type Pressure, pressureDifferencePa, pressurePa } from '../../units/index.js';
import type { GaugeSpec } from '../gauge-spec.js';
import type { Job, JobPort } from '../job.js';
import type { AllowedDecay, CollectedDemand, PortPlan, StagePlan, StrokeDemand } from '../plan-types.js';
import type { DecayLimit, Procedure, ProcedureStage } from '../procedure.js';
import { type BoreRow, rowFor } from '../reading/by-bore.js';
import { procedureDefaults } from '../reading/load-procedure.js';
import { ratedAtPa } from './bench-reach.js';
import { levelPa, stagesFor, testPressurePa } from './level-pa.js';
import { gaugeAccuracyPa } from './resolvable.js';

/** The job's gauge, the one that stays at this port (null: none), and the one at the other port (null: none). */
export interface PortGauges {
  readonly main: GaugeSpec;
  readonly own: GaugeSpec | null;
  readonly opposite: GaugeSpec | null;
}

/**
 * One port's hold in numbers.
 * @throws DwellmarkError (`input`) when no stage is for this port, no stage gives a test pressure, or no oil is shut in.
 */
export function portPlan(job: Job, procedure: Procedure, gauges: PortGauges, port: JobPort): PortPlan {
  const gauge = gauges.own ?? gauges.main;
  const stages = stagesFor(procedure, port.port);
  const ratedPa = ratedAtPa(job, port.port);
  const testPa = testPressurePa(stages, ratedPa);
  if (!(testPa > 0))
    throw new DwellmarkError(
      'input',
      `procedure "${procedure.id}" has no stage that sets a pressure for port ${port.port}`,
      {
        place: { key: 'stage.ports' },
        advice: 'Take the port out of the job, or give the procedure a stage for it.',
      },
    );
  const planned = stages.map((stage) => stagePlan(stage, { ratedPa, testPa, boreM: job.cylinder.boreM }));
  const lastPa = planned.at(-1)?.targetPa ?? testPa;
  const hold = shutIn(job, procedure, port);
  const oil = expectedStiffness(hold, pressurePa(0), lastPa);
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  const onCylinder = procedure.subject === 'cylinder';
  const rampMaxPaPerS = Math.min(...planned.map((stage) => stage.rampMaxPaPerS));
  const quick = pumpFlowM3PerS !== undefined && (pumpFlowM3PerS * lastPa) / oil.oilM3 > rampMaxPaPerS;
  return {
    port: port.port,
    position: port.position,
    opposite: port.opposite,
    ...(port.restrained ? { restrained: true } : {}),
    ...(port.ratedPa === undefined ? {} : { ratedPa: port.ratedPa }),
    ...(gauges.own === null ? {} : { gauge: gauges.own }),
    ...(gauges.opposite === null ? {} : { oppositeGauge: gauges.opposite }),
    trapped: plain(trappedOil({ ...hold, atPa: testPa })),
    ...(onCylinder ? { pistonAreaM2: pistonAreaM2(job.cylinder, port.port) } : {}),
    heat: heatOfHold(hold),
    stages: planned,
    overpressurePa: levelPa(procedure.limits.overpressure, { ratedPa, testPa, targetPa: testPa }),
    oppositeLimitPa:
      procedure.limits.opposite === null
        ? ratedAtPa(job, port.port === 'A' ? 'B' : 'A')
        : levelPa(procedure.limits.opposite, { ratedPa, testPa, targetPa: testPa }),
    zeroTolerancePa: procedure.limits.zeroPa ?? zeroTolerancePa(gauge),
    bleedDown: procedure.bleedDown,
    ...collectedDemand(job, procedure, port),
    ...strokeDemand(procedure, job.cylinder.kind !== 'vessel', { ratedPa, testPa, targetPa: testPa }),
    ...coverage(job, procedure, port),
    stiffness: {
      ...(pumpFlowM3PerS === undefined ? {} : { flowM3PerS: pumpFlowM3PerS }),
      ...(quick ? { flowAtMost: true } : {}),
      ...(boosterStrokeM3 === undefined ? {} : { strokeM3: boosterStrokeM3 }),
      oilM3: oil.oilM3,
      oilUM3: oil.oilUM3,
      ...(job.airFraction === undefined ? {} : { airFraction: job.airFraction }),
      ...lineAlone(job, procedure, port, lastPa),
    },
  };
}

/** Strokes run at a few bar: a pressure above this share of the test pressure is on its way up. Common practice, no source. */
const strokeShare = 0.25;

function strokeDemand(
  { subject, strokes }: Procedure,
  hasPiston: boolean,
  basis: Parameters<typeof levelPa>[1],
): { readonly strokes?: StrokeDemand } {
  if (subject === 'plugged lines' || !hasPiston) return {};
  const limits = strokes?.limits;
  const { testPa } = basis;
  return {
    strokes: {
      wanted: strokes?.wanted ?? 0,
      restS: strokes?.restS ?? procedureDefaults.strokeRestS,
      belowPa: pressurePa(strokeShare * testPa),
      ...(limits
        ? {
            limits: {
              ...(limits.breakAwayMax ? { breakAwayMaxPa: levelPa(limits.breakAwayMax, basis) } : {}),
              ...(limits.dragMax ? { dragMaxPa: levelPa(limits.dragMax, basis) } : {}),
              source: limits.source,
            },
          }
        : {}),
    },
  };
}

/** What the line would take with no cylinder behind it. */
function lineAlone(job: Job, procedure: Procedure, port: JobPort, targetPa: Pressure) {
  const lineVolumeM3 = port.lineVolumeM3 ?? 0;
  if (procedure.subject === 'plugged lines' || !(lineVolumeM3 > 0)) return {};
  const { airFraction: _, ...hold } = shutIn(job, { ...procedure, subject: 'plugged lines' }, port);
  const { oilM3, oilUM3 } = expectedStiffness(hold, pressurePa(0), targetPa);
  return { line: { oilM3, oilUM3 } };
}

/** What the hold shuts in: chamber and lines, or the plugged lines alone. */
export function shutIn(job: Job, procedure: Procedure, port: JobPort): ShutIn {
  const lineVolumeM3 = port.lineVolumeM3 ?? 0;
  const common = {
    cylinder: job.cylinder,
    port: port.port,
    fluid: job.fluid,
    lineVolumeM3,
    ...(port.lineStiffnessPa === undefined ? {} : { hoseStiffnessPa: port.lineStiffnessPa }),
    ...(job.airFraction === undefined ? {} : { airFraction: job.airFraction }),
  };
  if (procedure.subject === 'plugged lines') {
    if (!(lineVolumeM3 > 0))
      throw new DwellmarkError('input', `a check on plugged lines needs the line volume of port ${port.port}`, {
        place: { key: 'port.line_volume' },
        advice: 'Write for example line_volume = "0.15 L" in that [[port]] of the job.',
      });
    const position = port.port === 'A' ? 'retracted' : 'extended';
    return { ...common, position, override: { volumeM3: lineVolumeM3 } };
  }
  const volumeM3 = port.trappedVolumeM3 ?? job.trapped.volumeM3;
  const { bulkModulusPa } = job.trapped;
  const override = {
    ...(volumeM3 === undefined ? {} : { volumeM3 }),
    ...(bulkModulusPa === undefined ? {} : { bulkModulusPa }),
  };
  return { ...common, position: port.position, override };
}

interface StageBasis {
  readonly ratedPa: Pressure;
  readonly testPa: Pressure;
  readonly boreM: number;
}

function stagePlan(stage: ProcedureStage, basis: StageBasis): StagePlan {
  const targetPa = levelPa(stage.target, { ...basis, targetPa: 0 });
  const own = { ...basis, targetPa };
  return {
    name: stage.name,
    targetPa,
    belowPa: pressureDifferencePa(levelPa(stage.below, own)),
    abovePa: pressureDifferencePa(levelPa(stage.above, own)),
    ...(stage.voidAbove === null ? {} : { voidAbovePa: levelPa(stage.voidAbove, own) }),
    rampMaxPaPerS: stage.rampMaxPaPerS,
    stabilise: stage.stabilise,
    dwellS: stage.dwellS,
    allowed: stage.allowed.map((limit) => allowedDecay(limit, basis.boreM)),
    decision: stage.decision,
    ...(stage.judge === 'plain drop' ? { judge: stage.judge } : {}),
    ...(stage.neverBelow === null ? {} : { neverBelowPa: levelPa(stage.neverBelow, own) }),
    look: stage.look,
  };
}

function allowedDecay(limit: DecayLimit, boreM: number): AllowedDecay {
  switch (limit.kind) {
    case 'drop':
      return { ...limit, dropPa: pressureDifferencePa(limit.dropPa) };
    case 'leak by bore': {
      const { limit: leakM3PerS, source } = limitForBore(limit, boreM, 'stage.allowed_decay.leak_by_bore');
      return { kind: 'leak', leakM3PerS, source };
    }
    default:
      return limit;
  }
}

/** The row of a table for this bore, and its source with the row named. @throws DwellmarkError (`input`): no row reaches it. */
function limitForBore<Limit>(
  { rows, source }: { readonly rows: readonly BoreRow<Limit>[]; readonly source: string },
  boreM: number,
  key: string,
): { readonly limit: Limit; readonly source: string } {
  if (boreM === 0)
    throw new DwellmarkError('input', 'the procedure sets its limit by bore, and a vessel has none', {
      place: { key },
      advice: 'Take a procedure that limits the drop or the leak, or judges by looking.',
    });
  const row = rowFor(rows, boreM);
  if (row) return { limit: row.limit, source: row.text === '' ? source : `${source} (bore up to ${row.text})` };
  throw new DwellmarkError(
    'input',
    `the table ends at a bore of ${rows.at(-1)?.text ?? ''}, and this cylinder has ${formatQuantity(boreM, 'length', 'mm', 0)}`,
    { place: { key }, advice: 'Add a row for this bore; its limit needs its author.' },
  );
}

/** What the cup may hold: only where oil that passes the piston can come out at the other port. */
function collectedDemand(job: Job, procedure: Procedure, port: JobPort): { readonly collected?: CollectedDemand } {
  const wanted = procedure.limits.collected;
  if (wanted === null || procedure.subject === 'plugged lines') return {};
  if (!holdCoverage(job.cylinder.kind, port.port, port.position, 'open').canShowPistonBypass) return {};
  const { limit, source } = limitForBore(wanted, job.cylinder.boreM, 'limits.collected');
  const { overS, lessThan } = limit;
  return {
    collected: {
      ...('drops' in limit
        ? { volumeM3: dropsToM3(limit.drops, procedure.dropsPerMl), drops: limit.drops }
        : { volumeM3: limit.volumeM3 }),
      overS,
      ...(lessThan ? { lessThan } : {}),
      source,
    },
  };
}

/** The gauge's accuracy, and at least two of its steps: a vented gauge that stands further from zero is not in order. */
const zeroTolerancePa = (gauge: GaugeSpec) =>
  pressureDifferencePa(Math.max(gaugeAccuracyPa(gauge), 2 * gauge.resolutionPa));

function coverage(job: Job, procedure: Procedure, port: JobPort): Pick<PortPlan, 'covers' | 'notCovered'> {
  if (procedure.subject === 'plugged lines')
    return { covers: ['bench lines, valves, fittings and plugs'], notCovered: ['the cylinder'] };
  if (job.cylinder.kind === 'vessel') return { covers: job.cylinder.parts ?? [], notCovered: [] };
  const { covers, notCovered } = holdCoverage(job.cylinder.kind, port.port, port.position, port.opposite);
  const bearer = thrustBearer(job.cylinder.kind, port.port, port.position, port.restrained === true);
  return { covers: [...covers, ...(bearer ? thrustParts[bearer] : [])], notCovered };
}

/** Only what the record keeps. */
const plain = ({
  volumeM3,
  volumeUM3,
  bulkModulusPa,
  bulkModulusUPa,
  thermalPaPerK,
  thermalUPaPerK,
  basis,
}: TrappedOil): TrappedOil => ({
  volumeM3,
  volumeUM3,
  bulkModulusPa,
  bulkModulusUPa,
  thermalPaPerK,
  thermalUPaPerK,
  basis,
});
