import { createHash } from 'node:crypto';
import type { CertificateInput } from '../../src/certificate/input.js';
import type { PortResult, StageResult, TestResult, Verdict } from '../../src/evaluation/index.js';
import type { PortPlan } from '../../src/procedure/index.js';
import type { RecordSignature, TestHeader } from '../../src/record/index.js';
import { pressureDifferencePa, pressurePa, temperatureDifferenceK, temperatureK } from '../../src/units/index.js';
import { type SampleHold, type SampleRun, sampleRun } from './sample-trace.js';

const bar = 1e5;
const mlPerMin = 1e-6 / 60;
export const hash = (text: string): string => createHash('sha256').update(text).digest('hex');

export const proof = (fallBarPerMin: number, dwellS = 300) => ({
  name: 'proof',
  targetPa: 240 * bar,
  dwellS,
  fallPaPerS: (fallBarPerMin * bar) / 60,
});

const coverage = {
  A: {
    covers: ['cap', 'cap weld', 'port A boss', 'barrel', 'piston seal'],
    notCovered: ['rod seal', 'gland O-ring', 'port B boss'],
  },
  B: {
    covers: ['rod seal', 'gland O-ring', 'head', 'port B boss', 'piston seal'],
    notCovered: ['cap', 'cap weld', 'port A boss'],
  },
} as const;

export function samplePlan(port: 'A' | 'B'): PortPlan {
  const volumeM3 = port === 'A' ? 4.327e-3 : 3.095e-3;
  return {
    port,
    position: port === 'A' ? 'extended' : 'retracted',
    opposite: 'open',
    trapped: {
      volumeM3,
      volumeUM3: 6.5e-5,
      bulkModulusPa: 1.383e9,
      bulkModulusUPa: 7e7,
      thermalPaPerK: 9.4e5,
      thermalUPaPerK: 7e4,
      basis: 'swept volume and line; oil in series with a thick barrel (Lamé, open ends)',
    },
    stages: [],
    overpressurePa: pressurePa(254.4 * bar),
    oppositeLimitPa: pressurePa(2 * bar),
    zeroTolerancePa: pressureDifferencePa(0.5 * bar),
    bleedDown: { belowPa: pressurePa(2 * bar), forS: 10 },
    covers: coverage[port].covers,
    notCovered: coverage[port].notCovered,
    stiffness: { oilM3: 7.1e-5, oilUM3: 5e-6 },
  };
}

export const sampleHeader: TestHeader = {
  format: 'dwellmark test 1',
  test: 'T-2026-0007',
  shop: { name: 'Harrow Fell Hydraulics', address: 'Unit 4, Ghyll Lane, Harrow Fell' },
  bench: 'test bench 2',
  startedAt: '2026-03-14T10:42:07+00:00',
  clock: 'computer clock, synchronised by NTP',
  technician: 'Mina Aldous',
  workOrder: 'WO-2207',
  customer: 'Tarn Quarry Plant',
  customerAddress: '4 Quarry Road, Tarnbeck',
  cylinder: {
    kind: 'double-acting',
    boreM: 0.1,
    rodM: 0.056,
    strokeM: 0.5,
    ratedPressurePa: pressurePa(160 * bar),
    barrelOutsideM: 0.12,
    serial: 'TQ-4471',
    maker: 'Ellerbeck',
    model: 'EB 100/56-500',
  },
  condition: 'resealed, chrome unmarked, ports plugged',
  received: '2026-03-11',
  fluid: {
    name: 'ISO VG 46',
    bulkModulusPa: 1.5e9,
    bulkModulusRelU: 0.05,
    expansionPerK: 7e-4,
    expansionRelU: 0.05,
    densityKgPerM3: 870,
    heatCapacityJPerKgK: 1900,
    viscosityPaS: 0.04,
    viscosityAtK: temperatureK(313.15),
    source: 'stated by the oil maker, sheet 46-3',
  },
  plan: {
    format: 'dwellmark plan 1',
    procedure: {
      id: 'cylinder-proof',
      title: 'Proof test of a repaired cylinder',
      revision: '3',
      source: 'Harrow Fell works standard 12, 2025',
      sha256: hash('procedure'),
      asShipped: false,
    },
    gauge: {
      serial: 'SN 40117',
      maker: 'Keld',
      model: 'DG-400',
      rangeLowPa: pressurePa(0),
      rangeHighPa: pressurePa(400 * bar),
      resolutionPa: pressureDifferencePa(0.1 * bar),
      accuracyOfSpan: 0.0025,
      calibration: {
        certificate: 'C-51120',
        laboratory: 'Borrowdale Metrology',
        date: '2025-11-20',
        due: '2026-11-20',
        expandedUPa: pressureDifferencePa(0.04 * bar),
      },
    },
    ports: [samplePlan('A'), samplePlan('B')],
    attendance: 'attended',
    attemptsCap: 2,
    dropsPerMl: 20,
    unmeasuredTemperatureK: temperatureDifferenceK(0.5),
  },
  findings: [],
  gauge: {
    driver: 'ascii-stream',
    source: '/dev/ttyUSB0 at 9600 baud',
    serial: 'SN 40117',
    unit: 'bar',
    channels: { opposite: false, oil: true },
  },
  units: 'bar',
  jobText: '',
  procedureText: '',
  software: { version: '0.1.0', evaluation: '1' },
  origin: 'live',
  benchCheck: { test: 'T-2026-0003', leakM3PerS: 0.004 * mlPerMin, at: '2026-03-13T16:20:00+00:00' },
};

/** A stage's result as an evaluation of the made-up trace would give it; `allowedBar` over the dwell. */
export function sampleStage(
  hold: SampleHold,
  name: string,
  run: SampleRun,
  verdict: Verdict,
  reason: string,
  change: Partial<StageResult> = {},
): StageResult {
  const stage = hold.stages.find((candidate) => candidate.name === name);
  const window = run.dwells.get(hold)?.get(name);
  if (stage === undefined || window === undefined) throw new Error(`no stage ${name}`);
  const raw = window.startPa - window.endPa;
  const thermal = 0.11 * bar * (stage.dwellS / 300);
  const volume = samplePlan(hold.port).trapped;
  const rate = (raw - thermal) / stage.dwellS;
  return {
    name,
    verdict,
    reason,
    targetPa: pressurePa(stage.targetPa),
    startPa: pressurePa(window.startPa),
    endPa: pressurePa(window.endPa),
    levelUncertaintyPa: pressureDifferencePa(1.16 * bar),
    dwellS: stage.dwellS,
    demandedDwellS: stage.dwellS,
    dwellStartUs: window.startUs,
    dwellEndUs: window.endUs,
    readings: stage.dwellS * 5,
    dropPa: pressureDifferencePa(raw - thermal),
    dropUncertaintyPa: pressureDifferencePa(0.14 * bar),
    coverageFactor: 2.01,
    ratePaPerS: rate,
    rateUncertaintyPaPerS: (0.14 * bar) / stage.dwellS,
    temperatureCorrected: true,
    thermalDropPa: pressureDifferencePa(thermal),
    temperatureToExplainK: 0.1,
    leakM3PerS: (volume.volumeM3 / volume.bulkModulusPa) * rate,
    leakUncertaintyM3PerS: ((volume.volumeM3 / volume.bulkModulusPa) * 0.17 * bar) / stage.dwellS,
    allowedDropPa: pressureDifferencePa(stage.targetPa * 0.02),
    governingLimit: { kind: 'percent', fraction: 0.02, source: 'Harrow Fell works standard 12, 2025' },
    decision: 'guarded',
    smallestResolvableDropPa: pressureDifferencePa(0.2 * bar),
    budget: [],
    diagnosis: null,
    flags: [],
    ...change,
  };
}

export function samplePort(
  hold: SampleHold,
  run: SampleRun,
  stages: readonly StageResult[],
  verdict: Verdict,
  reason: string,
  change: Partial<PortResult> = {},
): PortResult {
  const plan = samplePlan(hold.port);
  return {
    port: hold.port,
    attempt: hold.attempt ?? 1,
    repeat: null,
    verdict,
    reason,
    position: plan.position,
    opposite: plan.opposite,
    covers: plan.covers,
    notCovered: plan.notCovered,
    stages,
    stiffness: {
      verdict: 'agrees',
      seenM3PerPa: 3.1e-12,
      expectedM3PerPa: 3.13e-12,
      airFraction: 0.001,
      text: 'took {volume:0.0000731} for {volume:0.000071} expected: cylinder connected and full of oil',
    },
    zeroBeforePa: pressurePa(0.01 * bar),
    zeroAfterPa: pressurePa(-0.02 * bar),
    peakPa: pressurePa(241.9 * bar),
    observations: [
      { point: 'rod seal and wiper', amount: 'film' },
      { point: 'gland O-ring', amount: 'dry' },
      { point: hold.port === 'A' ? 'port A boss' : 'port B boss', amount: 'dry' },
      { point: 'cap weld or cap seal', amount: 'dry' },
    ],
    collected: null,
    events: run.events.get(hold) ?? [],
    earlierAttempts: [],
    ...change,
  };
}

const signer = (name: string, role: RecordSignature['signer']['role'], organisation: string) => ({
  id: name.toLowerCase().replaceAll(' ', '-'),
  name,
  role,
  organisation,
});

export function sampleSignatures(head: string): readonly RecordSignature[] {
  const shop = sampleHeader.shop.name;
  const sign = (
    person: RecordSignature['signer'],
    meaning: RecordSignature['meaning'],
    signedAt: string,
  ): RecordSignature => ({
    test: sampleHeader.test,
    head,
    signer: person,
    meaning,
    remark: '',
    signedAt,
    publicKey: Buffer.from(hash(person.id), 'hex').toString('base64'),
    value: Buffer.from(hash(`${person.id} ${head}`), 'hex').toString('base64'),
  });
  return [
    sign(signer('Mina Aldous', 'technician', shop), 'performed', '2026-03-14T11:20:41+00:00'),
    sign(signer('Tobias Wrenfield', 'qa', shop), 'reviewed and released', '2026-03-14T14:05:10+00:00'),
    sign(signer('Ilse Marrow', 'witness', 'Tarn Quarry Plant'), 'witnessed', '2026-03-14T11:22:03+00:00'),
  ];
}

/** An input around a result; whatever is not given is that of the plain passing test. */
export function sampleInput(
  result: TestResult,
  run: SampleRun,
  change: Partial<Omit<CertificateInput, 'header'>> & { readonly header?: Partial<TestHeader> } = {},
): CertificateInput {
  const head = hash(result.verdict);
  const { header, ...rest } = change;
  return {
    number: 'HF-2026-0007',
    kind: result.verdict === 'pass' ? 'certificate' : 'test report',
    header: { ...sampleHeader, ...header },
    result,
    seal: { head, ledgerPosition: 42, ledgerHead: hash('ledger') },
    signatures: sampleSignatures(head),
    trace: run.readings,
    paper: 'A4',
    units: 'bar',
    language: 'en',
    issuedAt: '2026-03-14T14:10:00+00:00',
    recordJson: `${JSON.stringify({ test: sampleHeader.test, verdict: result.verdict })}\n`,
    traceCsv: `time_us,pressure_pa\n${run.readings.map((reading) => `${reading.timeUs},${reading.pressurePa}`).join('\n')}\n`,
    ...rest,
  };
}

const result = (verdict: Verdict, ports: readonly PortResult[]): TestResult => ({
  evaluationVersion: '1',
  verdict,
  ports,
});

type Change = Parameters<typeof sampleInput>[2];
const reasonPass = 'dropped {difference:20000} ± {difference:14000} over {seconds:300}; {difference:480000} allowed';

/** The plain case: two ports, a stage each, both tight. */
export function samplePass(change: Change = {}): CertificateInput {
  const a: SampleHold = {
    port: 'A',
    stages: [proof(0.06)],
    extra: [{ atS: 200, code: 'inspected', text: 'every point looked at' }],
  };
  const b: SampleHold = {
    port: 'B',
    stages: [proof(0.09)],
    extra: [{ atS: 180, code: 'inspected', text: 'every point looked at' }],
  };
  const run = sampleRun([a, b], { oilK: 295.3 });
  return sampleInput(
    result('pass', [
      samplePort(a, run, [sampleStage(a, 'proof', run, 'pass', reasonPass)], 'pass', reasonPass),
      samplePort(b, run, [sampleStage(b, 'proof', run, 'pass', reasonPass)], 'pass', reasonPass),
    ]),
    run,
    change,
  );
}

/** Piston seal leaks on A; B is tight. */
export function sampleFail(change: Change = {}): CertificateInput {
  const reason = 'dropped {difference:965000} ± {difference:14000} over {seconds:300}; {difference:480000} allowed';
  const a: SampleHold = { port: 'A', stages: [proof(1.95)] };
  const b: SampleHold = { port: 'B', stages: [proof(0.05)] };
  const run = sampleRun([a, b], { oilK: 295.3 });
  const failed = sampleStage(a, 'proof', run, 'fail', reason, {
    diagnosis: {
      shape: 'steady',
      strength: 0.93,
      likely: ['steady leak past the piston seal: oil at the open port B agrees with the fall of pressure'],
      tryNext: ['collect oil at port B over {seconds:300}'],
    },
  });
  return sampleInput(
    result('fail', [
      samplePort(a, run, [failed], 'fail', reason, {
        observations: [{ point: 'open opposite port', amount: 'drops', drops: 34, text: 'steady' }],
        collected: { leakM3PerS: 0.35 * mlPerMin, overS: 300, agrees: true },
      }),
      samplePort(b, run, [sampleStage(b, 'proof', run, 'pass', reasonPass)], 'pass', reasonPass),
    ]),
    run,
    { number: 'HF-2026-0008', ...change },
  );
}

/** The oil was not measured and the limit is close: nothing can be said. */
export function sampleInconclusive(change: Change = {}): CertificateInput {
  const reason =
    'dropped {difference:430000} ± {difference:310000} over {seconds:300}; {difference:480000} allowed: the limit lies within the uncertainty';
  const a: SampleHold = {
    port: 'A',
    stages: [proof(0.86)],
    extra: [{ atS: 120, code: 'note', text: 'workshop door open, draught on the barrel' }],
  };
  const run = sampleRun([a]);
  const stage = sampleStage(a, 'proof', run, 'inconclusive', reason, {
    temperatureCorrected: false,
    thermalDropPa: null,
    dropPa: pressureDifferencePa(4.3 * bar),
    dropUncertaintyPa: pressureDifferencePa(3.1 * bar),
    rateUncertaintyPaPerS: (3.1 * bar) / 300,
    smallestResolvableDropPa: pressureDifferencePa(4.4 * bar),
    diagnosis: { shape: 'thermal', strength: 0.5, likely: ['oil cooling, or a small leak: can’t tell'], tryNext: [] },
    flags: [
      {
        code: 'temperature-not-measured',
        text: 'oil temperature was not measured; a change of {kelvin:0.33} would explain the whole drop',
      },
    ],
  });
  return sampleInput(result('inconclusive', [samplePort(a, run, [stage], 'inconclusive', reason)]), run, {
    number: 'HF-2026-0009',
    ...change,
    header: { plan: { ...sampleHeader.plan, ports: [samplePlan('A')] }, benchCheck: null, ...change.header },
  });
}

/** Two ports with three stages each, long names, a retest, an overruled finding, an opposite gauge. */
export function sampleThreeStages(change: Change = {}): CertificateInput {
  const stages = [
    { name: 'low pressure', targetPa: 5 * bar, dwellS: 60, fallPaPerS: 0 },
    { name: 'working pressure', targetPa: 160 * bar, dwellS: 120, fallPaPerS: 40 },
    proof(0.08),
  ];
  const first: SampleHold = {
    port: 'A',
    stages: [proof(0.1, 60)],
    extra: [{ atS: 40, code: 'topped-up', text: 'topped up by {difference:350000} in the dwell', grade: 'void' }],
  };
  const a: SampleHold = { port: 'A', attempt: 2, stages };
  const b: SampleHold = { port: 'B', stages };
  const run = sampleRun([first, a, b], { oilK: 294.1, opposite: true });
  const good = (hold: SampleHold): readonly StageResult[] =>
    hold.stages.map((stage) => sampleStage(hold, stage.name, run, 'pass', reasonPass));
  const voided = samplePort(
    first,
    run,
    [sampleStage(first, 'proof', run, 'invalid', 'topped up during the dwell')],
    'invalid',
    'topped up during the dwell',
  );
  return sampleInput(
    result('pass', [
      samplePort(a, run, good(a), 'pass', reasonPass, {
        repeat: { cause: 'bench fault', reason: 'booster valve had not been shut' },
        earlierAttempts: [voided],
        opposite: 'gauge',
      }),
      samplePort(b, run, good(b), 'pass', reasonPass, { opposite: 'gauge' }),
    ]),
    run,
    {
      number: 'HF-2026-0010',
      ...change,
      header: {
        customer: 'Kamenolom Еловая Гряда 7 & Söhne Übersee GmbH',
        technician: 'Željko Müller-Šťastný-Großkreuz von Hohenau',
        cylinder: {
          ...sampleHeader.cylinder,
          serial: 'ЭЦ-100/56-0098-ÄÖÜ-0123456789-ABCDEFGH-42',
          maker: 'Цилиндры Елового Яра',
          model: 'Zylinder für Öl',
        },
        findings: [
          {
            grade: 'stop',
            code: 'gauge-range',
            text: 'gauge range {pressure:40000000} is {difference:16000000} over the test pressure',
            overruled: { by: 'Tobias Wrenfield', why: 'second gauge read the same' },
          },
        ],
        ...change.header,
      },
    },
  );
}

/** The American customer: psi with bar beside, Letter, a simulated gauge. */
export function samplePsi(change: Change = {}): CertificateInput {
  return samplePass({
    number: 'HF-2026-0011',
    paper: 'Letter',
    units: 'psi',
    secondUnits: 'bar',
    accent: '#7a1f2b',
    ...change,
    header: { customer: 'Copperline Press Works Inc.', origin: 'simulated', ...change.header },
  });
}

/** Topped up in the dwell: the test can't be judged. */
export function sampleInvalid(change: Change = {}): CertificateInput {
  const reason = 'topped up by {difference:350000} in the dwell';
  const a: SampleHold = {
    port: 'A',
    stages: [proof(0.1)],
    extra: [{ atS: 90, code: 'topped-up', text: reason, grade: 'void' }],
  };
  const run = sampleRun([a]);
  const stage = sampleStage(a, 'proof', run, 'invalid', reason, { leakM3PerS: null, leakUncertaintyM3PerS: null });
  return sampleInput(result('invalid', [samplePort(a, run, [stage], 'invalid', reason)]), run, {
    number: 'HF-2026-0013',
    ...change,
    header: { plan: { ...sampleHeader.plan, ports: [samplePlan('A')] }, ...change.header },
  });
}

/** A gauge for each port, an oil probe, a table of corrections, slow strokes before the hold. */
export function sampleSeveralGauges(change: Change = {}): CertificateInput {
  const { gauge } = sampleHeader.plan;
  const second = { ...gauge, serial: 'SN 40118', rangeHighPa: pressurePa(250 * bar) };
  const calibration = {
    certificate: 'C-51177',
    laboratory: 'Borrowdale Metrology',
    date: '2026-01-08',
    due: '2027-01-08',
    corrections: [{ atPa: pressurePa(240 * bar), addPa: pressureDifferencePa(-0.3 * bar) }],
  };
  const plain = samplePass(change);
  const ports = plain.result.ports.map((port) => ({
    ...port,
    breakAway: {
      wanted: 3,
      seen: 3,
      breakAwayPa: 2.6 * bar,
      breakAwayUncertaintyPa: 0.3 * bar,
      runningPa: 1.9 * bar,
      runningUncertaintyPa: 0.2 * bar,
      stickSlip: 'no' as never,
      text: '3 slow strokes: started at {pressure:260000} at most, ran at {pressure:190000}',
      deviation: null,
    },
  }));
  return {
    ...plain,
    result: { ...plain.result, ports },
    number: 'HF-2026-0014',
    header: {
      ...plain.header,
      plan: {
        ...sampleHeader.plan,
        corrections: 'applied',
        gauge: { ...gauge, calibration },
        ports: [{ ...samplePlan('A'), oppositeGauge: second }, samplePlan('B')],
        oilProbe: { serial: 'OT 12', maker: 'Keld', model: 'PT-100', calibration },
      },
    },
  };
}

/** A drawing as a shop would hand it in. */
export const sampleLogo = Buffer.from(
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 20"><circle cx="10" cy="10" r="9" fill="#1f4e79"/><path d="M4 13l6-8 6 8z" fill="#fff"/><rect x="24" y="8" width="34" height="4" fill="#1f4e79"/></svg>',
);

const longNames: Partial<TestHeader> = {
  customer: 'Northmoor Quarrying and Aggregates Group',
  technician: 'Bartholomew Featherstonehaugh-Cholmondel',
  workOrder: 'WO-2026-NORTHMOOR-LONG-ORDER-NUMBER-0042',
  bench: 'Bench for long cylinders, north hall, 2b',
  cylinder: {
    ...sampleHeader.cylinder,
    serial: 'NMQ-LONGSERIAL-0123456789-ABCDEFGHIJ-042',
    maker: 'Consolidated Hydraulic Ram Works of Kent',
    model: 'CHR-K 100/56-500 double acting, flanged, 2',
  },
  shop: { name: 'Harrow Fell Hydraulics and Cylinder Work', address: 'Unit 4, Ghyll Lane Industrial Estate, HF2' },
};

/** Every sample by name, for looking at. */
export const samples: Readonly<Record<string, () => CertificateInput>> = {
  pass: () => samplePass(),
  'pass-letter': () => samplePass({ paper: 'Letter' }),
  fail: () => sampleFail(),
  inconclusive: () => sampleInconclusive(),
  'three-stages': () => sampleThreeStages(),
  psi: () => samplePsi(),
  invalid: () => sampleInvalid(),
  'several-gauges': () => sampleSeveralGauges(),
  'long-names': () => samplePass({ header: longNames, logo: sampleLogo }),
  'letter-long': () => sampleThreeStages({ paper: 'Letter', units: 'psi', secondUnits: 'bar', logo: sampleLogo }),
  german: () => sampleFail({ language: 'de' }),
  'german-pass': () => samplePass({ language: 'de', series: 'HF', header: { bench: 'Prüfstand 2' } }),
  'german-stages': () => sampleThreeStages({ language: 'de' }),
  reissue: () => samplePass({ number: 'HF-2026-0012', reissueOf: 'HF-2026-0007', reason: 'customer misspelt' }),
  draft: () => samplePass({ kind: 'draft', signatures: [] }),
  void: () => samplePass({ kind: 'void', reason: 'wrong serial number on the order', replacedBy: 'HF-2026-0012' }),
};
