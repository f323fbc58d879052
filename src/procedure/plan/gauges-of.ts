import type { PortName } from '../../hydraulics/index.js';
import type { CalibrationSpec, GaugeSpec } from '../gauge-spec.js';
import type { PortPlan, TestPlan } from '../plan-types.js';
import type { PlanDemand } from './make-plan.js';

/** The gauge that reads a port while it is under test. */
export const gaugeAt = (plan: TestPlan, port: PortPlan | null): GaugeSpec => port?.gauge ?? plan.gauge;

/** An instrument that takes part in a test, and as what. */
export interface GaugeInTest {
  readonly serial: string;
  readonly maker?: string;
  readonly model?: string;
  readonly calibration?: CalibrationSpec;
  /** Null for an oil probe. */
  readonly spec: GaugeSpec | null;
  readonly duties: readonly GaugeDuty[];
}

/** What an instrument gives: the pressure of a port under test, that of the other port, or the oil temperature. */
export type GaugeDuty =
  | { readonly gives: 'pressure' | 'opposite'; readonly whileTesting: PortName }
  | { readonly gives: 'oil' };

/** What an instrument is there for, in words: `port B while A is tested`. */
export function spokenDuty(duty: GaugeDuty): string {
  if (duty.gives === 'oil') return 'oil temperature';
  const other = duty.whileTesting === 'A' ? 'B' : 'A';
  return duty.gives === 'pressure'
    ? `port ${duty.whileTesting} under test`
    : `port ${other} while ${duty.whileTesting} is tested`;
}

/**
 * Every instrument of a plan, the job's own gauge first, each once with all that it is there for.
 * @example gaugesInTest(plan).map(({ serial }) => serial) // ['SN 40117', 'SN 40118', 'OT 12']
 */
export function gaugesInTest(plan: TestPlan): readonly GaugeInTest[] {
  const found = new Map<string, GaugeInTest>();
  const add = (one: Omit<GaugeInTest, 'duties'>, ...duty: readonly GaugeDuty[]): void => {
    const known = found.get(one.serial);
    const { serial, maker, model, calibration, spec } = one;
    found.set(serial, {
      serial,
      ...(maker === undefined ? {} : { maker }),
      ...(model === undefined ? {} : { model }),
      ...(calibration === undefined ? {} : { calibration }),
      ...known,
      spec: known?.spec ?? spec,
      duties: [...(known?.duties ?? []), ...duty],
    });
  };
  if (plan.ports.length === 0) add({ ...plan.gauge, spec: plan.gauge });
  for (const port of plan.ports) {
    const main = gaugeAt(plan, port);
    add({ ...main, spec: main }, { gives: 'pressure', whileTesting: port.port });
  }
  for (const { port, oppositeGauge } of plan.ports)
    if (oppositeGauge) add({ ...oppositeGauge, spec: oppositeGauge }, { gives: 'opposite', whileTesting: port });
  if (plan.oilProbe) add({ ...plan.oilProbe, spec: null }, { gives: 'oil' });
  return [...found.values()];
}

/** The gauges of a plan as {@link PlanDemand} takes them: to plan the same test by another procedure. */
export function gaugesOfPlan(plan: TestPlan): Pick<PlanDemand, 'gauge' | 'others'> {
  const gauges = new Map(gaugesInTest(plan).flatMap(({ serial, spec }) => (spec === null ? [] : [[serial, spec]])));
  const { gauge, oilProbe } = plan;
  return { gauge, others: { gauges, ...(oilProbe === undefined ? {} : { oilProbe }) } };
}
