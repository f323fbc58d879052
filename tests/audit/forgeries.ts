import type { Judge } from '../../src/audit/index.js';
import type { SuspicionKind } from '../../src/audit/suspicions/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { Store, TestHeader } from '../../src/record/index.js';
import { isoWithOffset } from '../../src/record/index.js';
import { pressurePa } from '../../src/units/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, seeded, withGauge } from '../record/sample-test.js';
import { calibrated, type Person, person, sampleJudge } from './sample-store.js';

/** A forgery in the store: the test it sits on, and what an audit may call it. */
export interface Forgery {
  readonly test: string;
  readonly kinds: readonly SuspicionKind[];
}

export interface PlantedStore {
  readonly store: Store;
  readonly forgeries: readonly Forgery[];
  /** Forged tests and the honest ones they were copied from. */
  readonly involved: ReadonlySet<string>;
}

interface Plan {
  readonly readings: Reading[];
  readonly header?: Partial<TestHeader>;
  /** Share of its readings' time that passes at the bench before it is sealed. */
  readonly took?: number;
  /** Where the wall clock is set before the test, milliseconds from where it should be. */
  readonly clockSetMs?: number;
  readonly signedBy?: 'revoked' | 'technician' | 'runner';
  readonly gauge?: string;
}

const gaugeNames = ['SN 40117', 'SN 40118', 'SN 51002'];
const technicians = ['J. Okafor', 'P. Brenkeld', 'S. Ruiz', 'L. Mensah'];

/** Shifts pressures by a rule; null leaves a value missing. */
const changed = (readings: readonly Reading[], rule: (pressure: number, index: number) => number): Reading[] =>
  readings.map((reading, index) => ({
    ...reading,
    pressurePa: pressurePa(Math.round(rule(reading.pressurePa ?? 0, index))),
  }));

const toTenth = (pressure: number): number => Math.round(pressure / 10_000) * 10_000;

/**
 * A year of honest live tests, twelve a day, on three gauges that are each restless in their own way, by four people;
 * and twenty forgeries of the kinds that courts and regulators have seen, spread over it.
 */
export function plantForgeries(
  path: string,
  size: { tests: number; seconds: number },
  judge: Judge = sampleJudge,
): PlantedStore {
  let wallMs = Date.parse('2026-01-05T06:00:00Z');
  let monotonicMs = 5000;
  const store = newStore(path, { now: () => new Date(wallMs), monotonicMs: () => monotonicMs });
  const pass = (ms: number): void => {
    wallMs += ms;
    monotonicMs += ms;
  };
  const qa = person('m.lindqvist', 'Maria Lindqvist', 'qa');
  const gone = person('o.falk', 'Oda Falk', 'qa');
  const runner = person('j.okafor', 'J. Okafor', 'qa');
  const technician = person('p.brenkeld', 'P. Brenkeld', 'technician');
  for (const { record } of [qa, gone, runner, technician]) store.addSigner(record);
  store.revokeSigner('o.falk', { by: 'Maria Lindqvist', reason: 'left the shop' });

  const honest = (index: number): Reading[] =>
    sampleReadings({
      seconds: size.seconds,
      seed: 1000 + index,
      dropPaPerS: 100 + ((index * 37) % 900),
      startPa: 240e5 + ((index * 71) % 13) * 1e5,
      resolutionPa: index % gaugeNames.length === 2 ? 50_000 : 10_000,
    });
  const plans = forgeryPlans(honest);
  const every = Math.floor(size.tests / (plans.length + 2));
  const forgeries: Forgery[] = [];
  const involved = new Set<string>();
  const random = seeded(77);

  for (let index = 0; index < size.tests; index += 1) {
    const forged = index % every === every - 1 ? plans[Math.floor(index / every)] : undefined;
    const test = store.nextTestId(2026);
    const plan: Plan = forged?.plan ?? { readings: honest(index) };
    if (plan.clockSetMs) wallMs += plan.clockSetMs;
    const startedAt = isoWithOffset(new Date(wallMs));
    const base = sampleHeader(test, {
      origin: 'live',
      startedAt,
      technician: technicians[index % technicians.length] as string,
      ...plan.header,
    });
    const gauge = plan.gauge ?? (gaugeNames[index % gaugeNames.length] as string);
    const header = calibrated(withGauge(base, gauge));
    const writer = store.beginTest(header, {
      seconds: 3600,
      readings: 5000,
      chunk: 5000,
      actsAtOnce: false,
    });
    pass(size.seconds * 1000 * (plan.took ?? 1) + 20_000);
    const inputs = asInputs(plan.readings);
    for (const input of inputs) writer.append(input);
    const { head } = writer.finish(judge(header, inputs));
    pass(60_000 + random() * 60_000);
    const signers: Record<NonNullable<Plan['signedBy']>, Person> = { revoked: gone, technician, runner };
    if (forged?.plan.signedBy || index % 50 === 0) {
      const signer = forged?.plan.signedBy ? signers[forged.plan.signedBy] : qa;
      store.addSignature(signer.sign(test, head, 'reviewed and released', isoWithOffset(new Date(wallMs))));
    }
    if (forged) {
      forgeries.push({ test, kinds: forged.kinds });
      involved.add(test);
      if (forged.from !== undefined) involved.add(`T-2026-${String(forged.from + 1).padStart(4, '0')}`);
    }
    if (index % 12 === 11) pass(24 * 3600_000 - 12 * (size.seconds * 1000 + 110_000));
  }
  return { store, forgeries, involved };
}

interface ForgeryPlan {
  readonly plan: Plan;
  readonly kinds: readonly SuspicionKind[];
  /** Index of the honest test it was copied from. */
  readonly from?: number;
}

function forgeryPlans(honest: (index: number) => Reading[]): ForgeryPlan[] {
  const random = seeded(5);
  const copies: readonly SuspicionKind[] = ['same trace', 'nearly the same trace'];
  const smooth = (index: number): number => toTenth(241e5 - 30 * index);
  return [
    { from: 3, kinds: ['same trace'], plan: { readings: honest(3) } },
    { from: 7, kinds: ['same trace'], plan: { readings: honest(7), header: { technician: 'S. Ruiz' } } },
    { from: 11, kinds: copies, plan: { readings: changed(honest(11), (p) => p + 50_000) } },
    { from: 13, kinds: copies, plan: { readings: changed(honest(13), (p) => toTenth(p * 1.01)) } },
    { from: 17, kinds: copies, plan: { readings: changed(honest(17), (p, i) => toTenth(p + 40 * i)) } },
    { from: 21, kinds: copies, plan: { readings: changed(honest(21), (p) => toTenth(p + (random() - 0.5) * 16_000)) } },
    { from: 23, kinds: copies, plan: { readings: retimed(honest(23).slice(100)) } },
    { from: 30, kinds: copies, plan: { readings: changed(honest(30), (p, i) => (i % 40 === 0 ? p + 10_000 : p)) } },
    { from: 31, kinds: copies, plan: { readings: spliced(honest(31), honest(5000)) } },
    { kinds: ['repeated stretch'], plan: { readings: patched(honest(6000), 200, 300, 700) } },
    { kinds: ['repeated stretch'], plan: { readings: patched(honest(6001), 100, 150, 500) } },
    { kinds: ['frozen run'], plan: { readings: frozen(honest(6000), 400, 300), gauge: 'SN 40117' } },
    { kinds: ['frozen run'], plan: { readings: frozen(honest(6003), 50, 900), gauge: 'SN 40117' } },
    {
      kinds: ['frozen run', 'smoother than its gauge'],
      plan: { readings: changed(honest(6004), (_p, i) => smooth(i)), gauge: 'SN 40117' },
    },
    { kinds: ['quicker than its readings'], plan: { readings: honest(6005), took: 0.05 } },
    {
      kinds: ['dated otherwise'],
      plan: { readings: honest(6006), header: { startedAt: '2026-01-05T07:30:00+01:00' } },
    },
    { kinds: ['clock step'], plan: { readings: honest(6007), clockSetMs: -3 * 3600_000 } },
    { kinds: ['outside authority'], plan: { readings: honest(6008), signedBy: 'revoked' } },
    { kinds: ['outside authority'], plan: { readings: honest(6009), signedBy: 'technician' } },
    {
      kinds: ['outside authority'],
      plan: { readings: honest(6010), signedBy: 'runner', header: { technician: 'J. Okafor' } },
    },
  ];
}

const retimed = (readings: readonly Reading[]): Reading[] =>
  readings.map((reading, index) => ({ ...reading, timeUs: index * 100_000 }));

/** The first half of one trace and the second half of another, joined without a step. */
function spliced(first: readonly Reading[], second: readonly Reading[]): Reading[] {
  const half = first.length >> 1;
  const shift = (first[half]?.pressurePa ?? 0) - (second[half]?.pressurePa ?? 0);
  return [...first.slice(0, half), ...changed(second.slice(half), (p) => p + shift)];
}

/** A stretch copied to another place in the same trace. */
function patched(readings: readonly Reading[], from: number, count: number, to: number): Reading[] {
  const shift = (readings[to]?.pressurePa ?? 0) - (readings[from]?.pressurePa ?? 0);
  return changed(readings, (p, index) =>
    index >= to && index < to + count ? (readings[index - to + from]?.pressurePa ?? 0) + shift : p,
  );
}

const frozen = (readings: readonly Reading[], from: number, count: number): Reading[] =>
  changed(readings, (p, index) => (index >= from && index < from + count ? (readings[from]?.pressurePa ?? p) : p));
