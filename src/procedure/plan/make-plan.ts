import type { PortName } from '../../hydraulics/index.js';
import {
  DwellmarkError,
  formatQuantity,
  pressureDifferencePa,
  type TemperatureDifference,
  temperatureDifferenceK,
  valueIn,
} from '../../units/index.js';
import type { CalibrationPolicy } from '../calibration-policy.js';
import { usualCalibrationPolicy } from '../calibration-policy.js';
import type { GaugeSpec, OilProbeSpec } from '../gauge-spec.js';
import type { Job, JobPort } from '../job.js';
import type { Finding, TestPlan } from '../plan-types.js';
import type { Procedure } from '../procedure.js';
import { procedureDefaults } from '../reading/load-procedure.js';
import { refuseContradictions } from './contradictions.js';
import type { Assumed, PlanFigures, PortFigures } from './figures.js';
import { findingsOf } from './findings/findings-of.js';
import { gaugeAt, gaugesInTest, spokenDuty } from './gauges-of.js';
import { gaugeFigures, portFigures } from './port-figures.js';
import { type PortGauges, portPlan } from './port-plan.js';

export interface PlanDemand {
  readonly job: Job;
  readonly procedure: Procedure;
  /** SHA-256 of the procedure file's bytes, hex. */
  readonly procedureSha256: string;
  /** Whether the shipped template of the same id has these same bytes. */
  readonly asShipped: boolean;
  readonly gauge: GaugeSpec;
  /** Gauges that the job's ports name, by serial, and the instrument that gives the oil temperature. */
  readonly others?: OtherGauges;
  /** What a calibration that does not hold does to the test; the usual when absent. */
  readonly calibration?: CalibrationPolicy;
  readonly attendance: TestPlan['attendance'];
  /** Only these ports of the job; absent: all. */
  readonly ports?: readonly PortName[];
  /** ISO date of the test, for the calibration; absent: it is not looked at. */
  readonly on?: string;
  /** Readings a second that the gauge gives; 10 when absent. */
  readonly readingsPerS?: number;
  /** Names of the files, for errors only. */
  readonly files?: { readonly job: string; readonly procedure: string };
}

export interface OtherGauges {
  readonly gauges: ReadonlyMap<string, GaugeSpec>;
  readonly oilProbe?: OilProbeSpec;
}

export interface MadePlan {
  readonly plan: TestPlan;
  readonly findings: readonly Finding[];
  readonly figures: PlanFigures;
}

/**
 * Makes a job and a procedure into numbers, and says what speaks against the test.
 * @throws DwellmarkError (`input`) when the two don't fit: a port the job lacks, a stage without a pressure, a gauge
 *   whose unit can't be meant.
 * @example a 100/56 cylinder rated 160 bar with B blocked, target "1 x rated": a `stop` finding with 233 bar
 */
export function makePlan(demand: PlanDemand): MadePlan {
  try {
    return make(demand);
  } catch (error) {
    if (!(error instanceof DwellmarkError) || demand.files === undefined || error.place.file !== undefined) throw error;
    const { code, message, place, advice } = error;
    const inProcedure = /^(?:stage|limits|bleed_down)\b/.test(place.key ?? '');
    const file = inProcedure ? demand.files.procedure : demand.files.job;
    throw new DwellmarkError(code, message, {
      place: { file, ...place },
      ...(advice === undefined ? {} : { advice }),
      cause: error,
    });
  }
}

function make(demand: PlanDemand): MadePlan {
  const { job, procedure, gauge } = demand;
  const jobPorts = chosenPorts(job, demand.ports);
  const unmeasuredTemperatureK = temperatureBound(job, procedure);
  const others = demand.others ?? { gauges: new Map<string, GaugeSpec>() };
  const ports = jobPorts.map((port) => portPlan(job, procedure, portGauges(port, gauge, others), port));
  const plan: TestPlan = {
    format: 'dwellmark plan 1',
    procedure: {
      id: procedure.id,
      title: procedure.title,
      revision: procedure.revision,
      source: procedure.source,
      sha256: demand.procedureSha256,
      asShipped: demand.asShipped,
      ...(procedure.subject === 'plugged lines' ? { subject: procedure.subject } : {}),
    },
    gauge,
    ...(others.oilProbe === undefined ? {} : { oilProbe: others.oilProbe }),
    ...(anyCorrection([gauge, ...others.gauges.values()]) ? { corrections: 'applied' } : {}),
    ports,
    attendance: demand.attendance,
    attemptsCap: procedure.attempts,
    dropsPerMl: procedure.dropsPerMl,
    unmeasuredTemperatureK,
    boundBy: boundBy(job, procedure),
  };
  for (const port of ports) {
    refuseContradictions(port);
    for (const { targetPa } of port.stages) refuseMixedUnits(gaugeAt(plan, port), targetPa);
  }
  const assumed: Assumed = {
    readingsPerS: demand.readingsPerS ?? 10,
    noisePa: pressureDifferencePa(gauge.resolutionPa),
    unmeasuredTemperatureK,
    airFraction: job.airFraction ?? 0,
  };
  const seenGauge = gaugeFigures(gauge);
  const portsFigures = jobPorts.flatMap((port, index): PortFigures[] => {
    const planned = ports[index];
    return planned ? [portFigures(job, procedure, port, planned, gaugeFigures(gaugeAt(plan, planned)), assumed)] : [];
  });
  const figures: PlanFigures = {
    format: 'dwellmark plan figures 1',
    workOrder: job.workOrder,
    cylinder: [job.cylinder.maker, job.cylinder.model, job.cylinder.serial].filter(Boolean).join(' '),
    procedure: `${procedure.title}, revision ${procedure.revision} (${procedure.id})`,
    subject: procedure.subject,
    gauge: seenGauge,
    ...otherFigures(plan),
    assumed,
    dropsPerMl: plan.dropsPerMl,
    ...(job.bench.rodEndN === undefined ? {} : { rodEndN: job.bench.rodEndN }),
    ports: portsFigures,
  };
  const policy = demand.calibration ?? usualCalibrationPolicy;
  const findings = findingsOf({ job, procedure, plan, figures, policy, on: demand.on ?? null });
  return { plan, figures, findings };
}

function otherFigures(plan: TestPlan): Pick<PlanFigures, 'others'> {
  const others = gaugesInTest(plan)
    .filter(({ serial }) => serial !== plan.gauge.serial || plan.ports.some(({ gauge }) => gauge !== undefined))
    .map(({ serial, duties, calibration }) => ({
      serial,
      gives: duties.map(spokenDuty).join(', '),
      calibrationDue: calibration?.due ?? null,
    }));
  return others.length === 0 ? {} : { others };
}

/** The gauges of a port: the job's at the port itself, unless one of its own stays there. */
function portGauges(port: JobPort, gauge: GaugeSpec, { gauges }: OtherGauges): PortGauges {
  const named = (serial: string): GaugeSpec => {
    const found = gauges.get(serial);
    if (found) return found;
    throw new DwellmarkError('input', `nothing is known of gauge ${serial} at port ${port.port}`, {
      place: { key: 'port.gauge' },
      advice: 'Add it to the shop file with `dwellmark gauge add`.',
    });
  };
  const own = port.gauge === undefined || port.gauge === gauge.serial ? null : named(port.gauge);
  const opposite = port.oppositeGauge === undefined ? null : named(port.oppositeGauge);
  return { main: gauge, own, opposite };
}

const anyCorrection = (gauges: readonly GaugeSpec[]): boolean =>
  gauges.some(({ calibration }) => (calibration?.corrections ?? []).length > 0);

const temperatureBound = (job: Job, procedure: Procedure): TemperatureDifference =>
  job.unmeasuredTemperatureK ??
  procedure.limits.unmeasuredTemperatureK ??
  temperatureDifferenceK(procedureDefaults.unmeasuredTemperatureK);

const boundBy = (job: Job, procedure: Procedure): NonNullable<TestPlan['boundBy']> =>
  job.unmeasuredTemperatureK !== undefined
    ? 'job'
    : procedure.limits.unmeasuredTemperatureK !== null
      ? 'procedure'
      : 'program';

function chosenPorts(job: Job, wanted: readonly PortName[] | undefined): readonly JobPort[] {
  if (wanted === undefined) return job.ports;
  for (const name of wanted)
    if (!job.ports.some(({ port }) => port === name))
      throw new DwellmarkError('input', `the job has no port ${name}`, {
        place: { key: 'port' },
        advice: `It has port ${job.ports.map(({ port }) => port).join(' and ')}.`,
      });
  return job.ports.filter(({ port }) => wanted.includes(port));
}

/** A psi gauge whose full scale the target passes in bar but not as a bare number: one of the two units is wrong. */
function refuseMixedUnits(gauge: GaugeSpec, targetPa: number): void {
  const { unit, rangeHighPa } = gauge;
  if (unit !== 'psi' || targetPa <= rangeHighPa) return;
  if (valueIn(targetPa, 'pressure', 'bar') > valueIn(rangeHighPa, 'pressure', 'psi')) return;
  const [bar, psi, full] = [
    formatQuantity(targetPa, 'pressure', 'bar', 0),
    formatQuantity(targetPa, 'pressure', 'psi', 0),
    formatQuantity(rangeHighPa, 'pressure', 'psi', 0),
  ];
  throw new DwellmarkError('input', `the target of ${bar} is ${psi}, and gauge ${gauge.serial} ends at ${full}`, {
    place: { key: 'gauge.range' },
    advice: 'Bar and psi seem to be mixed up: correct the unit of the range or of the target.',
  });
}
