import { expect, test } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import type { CertificateInput } from '../../src/certificate/input.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import {
  sampleFail,
  sampleHeader,
  sampleInconclusive,
  samplePass,
  samplePsi,
  sampleThreeStages,
} from './sample-content.js';

const cell = (input: CertificateInput, row: string, column = 0) =>
  certificateContent(input).results.rows.find(({ label }) => label === row)?.cells[column];

test('a test that did not pass is a report, whatever was asked for', () => {
  expect(certificateContent(samplePass()).title).toBe('Hold test certificate');
  expect(certificateContent(sampleFail({ kind: 'certificate' })).title).toBe('Hold test report');
  expect(certificateContent(sampleInconclusive({ kind: 'certificate' })).title).toBe('Hold test report');
  expect(certificateContent(samplePass({ kind: 'test report' })).title).toBe('Hold test report');
});

test('a void paper names what it was, why, and what replaces it; a reissue names what it replaces', () => {
  const voided = certificateContent(samplePass({ kind: 'void', reason: 'wrong serial', replacedBy: 'HF-2026-0012' }));
  expect(voided.title).toBe('Void: Hold test certificate');
  expect(voided.acrossEveryPage).toBe('VOID');
  expect(voided.underTitle).toContain('Declared void: wrong serial');
  expect(voided.underTitle).toContain('Replaced by HF-2026-0012');
  const reissued = certificateContent(samplePass({ number: 'HF-2026-0012', reissueOf: 'HF-2026-0007' }));
  expect(reissued.underTitle).toContain('Reissue: replaces HF-2026-0007, which stays on file');
});

test('level and drop carry their own uncertainties, never mixed', () => {
  expect(cell(samplePass(), 'At start of dwell')).toMatchObject({ figure: '240.5', plusMinus: '1.2' });
  expect(cell(samplePass(), 'Drop judged, temperature corrected')).toMatchObject({ figure: '0.19', plusMinus: '0.14' });
  expect(cell(samplePass(), 'Coverage factor k')).toMatchObject({ figure: '2.01' });
});

test('where a dwell went on for longer than demanded, the drop that was judged stands beside that of the whole dwell', () => {
  const input = samplePass();
  const ports = input.result.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({
      ...stage,
      dwellS: 2 * stage.demandedDwellS,
      dropPa: pressureDifferencePa(7.1e5),
      dropUncertaintyPa: pressureDifferencePa(0.3e5),
    })),
  }));
  const longer = { ...input, result: { ...input.result, ports } };
  expect(cell(longer, 'Drop, temperature corrected')).toMatchObject({ figure: '7.10', plusMinus: '0.30' });
  expect(cell(longer, 'the same over the demanded dwell, judged')).toMatchObject({ figure: '3.55', plusMinus: '0.15' });
  expect(cell(longer, 'Drop judged, temperature corrected')).toBeUndefined();
  expect(cell(input, 'the same over the demanded dwell, judged')).toBeUndefined();
});

test('the drop observed, what of it was heat and creep, and what was judged stand in the table, and only where they are known', () => {
  const input = samplePass();
  const ports = input.result.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({
      ...stage,
      judged: 'leak' as const,
      plainDropPa: pressureDifferencePa(0.84e5),
      settlingDropPa: pressureDifferencePa(0.65e5),
    })),
  }));
  const told = { ...input, result: { ...input.result, ports } };
  expect(cell(told, 'Pressure drop, observed')).toMatchObject({ figure: '0.84' });
  expect(cell(told, 'of which heat of compression and creep')).toMatchObject({ figure: '0.65' });
  expect(cell(told, 'Judged')).toEqual({ kind: 'word', word: 'loss by leaks' });
  expect(cell(told, 'Drop judged')).toMatchObject({ figure: '0.19', plusMinus: '0.14' });
  const before = certificateContent(input).results.rows.map(({ label }) => label);
  for (const label of ['of which heat of compression and creep', 'Judged', 'Drop judged'])
    expect(before).not.toContain(label);
  const plain = ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({ ...stage, judged: 'plain drop' as const, settlingDropPa: null })),
  }));
  const asRead = { ...told, result: { ...told.result, ports: plain } };
  expect(cell(asRead, 'Judged')).toEqual({ kind: 'word', word: 'plain drop' });
  expect(cell(asRead, 'of which heat of compression and creep')).toEqual({ kind: 'word', word: '–' });
});

test('in psi the bar stands beside: 240 bar is 3481 psi', () => {
  expect(cell(samplePsi(), 'Target')).toMatchObject({ figure: '3481', second: '240.0' });
  expect(certificateContent(samplePsi()).groups[0]?.facts[3]?.value).toBe('2321\u00a0psi');
});

test('a figure that could not be had is a dash, an unmeasured temperature says so', () => {
  expect(cell(sampleInconclusive(), 'of which by oil temperature, measured')).toEqual({
    kind: 'word',
    word: 'not measured',
  });
  const work = certificateContent(sampleInconclusive()).groups[1]?.facts ?? [];
  expect(work.find(({ label }) => label === 'Oil temp.')?.value).toContain('not measured; ±0.50\u00a0K');
  const untold = samplePass();
  const [port] = untold.result.ports;
  const [stage] = port?.stages ?? [];
  if (port === undefined || stage === undefined) throw new Error('the sample has a port');
  const ports = [{ ...port, stages: [{ ...stage, leakM3PerS: null, dropPa: null }] }];
  expect(cell({ ...untold, result: { ...untold.result, ports } }, 'Leak rate')).toEqual({ kind: 'word', word: '–' });
});

test('German writes a decimal comma and gives the reason in figures', () => {
  const content = certificateContent(sampleFail({ language: 'de' }));
  expect(content.title).toBe('Prüfbericht Druckhalteprüfung');
  expect(content.verdict.lines[0]).toMatch(
    /^Anschluss A, nicht bestanden: Prüfdruck: Abfall 9,6\d\u00a0bar ± 0,14\u00a0bar in 5\u00a0min, zulässig 4,80\u00a0bar$/,
  );
  expect(content.ports[0]?.facts[0]?.value).toBe('Boden, Bodennaht, Anschlussauge A, Rohr, Kolbendichtung');
});

test('where the figures do not explain a verdict, its own reason is printed in every language', () => {
  const input = samplePass({ language: 'de' });
  const ports = input.result.ports.map((port) => ({
    ...port,
    verdict: 'fail' as const,
    reason: 'oil at the gland O-ring',
  }));
  const content = certificateContent({ ...input, result: { ...input.result, verdict: 'fail', ports } });
  expect(content.verdict.lines[0]).toBe('Anschluss A, nicht bestanden: oil at the gland O-ring');
});

test('a stage within its limit is not shown as a pass where the whole port is none', () => {
  const input = samplePass();
  const verdicts = (verdict: 'invalid' | 'pass') => {
    const ports = input.result.ports.map((port) => ({ ...port, verdict }));
    const { results } = certificateContent({ ...input, result: { ...input.result, verdict, ports } });
    const row = results.rows.find(({ label }) => label === 'Verdict');
    return [results.columns[0]?.verdict, row?.cells[0]];
  };
  expect(verdicts('pass')).toEqual(['pass', { kind: 'word', word: 'Pass' }]);
  expect(verdicts('invalid')).toEqual(['invalid', { kind: 'word', word: 'Invalid' }]);
});

test('limits are told as their author wrote them, with who set them', () => {
  const input = samplePass();
  const [port] = input.result.ports;
  const [stage] = port?.stages ?? [];
  if (port === undefined || stage === undefined) throw new Error('the sample has a port');
  const notesWith = (governingLimit: typeof stage.governingLimit) =>
    certificateContent({
      ...input,
      result: { ...input.result, ports: [{ ...port, stages: [{ ...stage, governingLimit }] }] },
    }).resultNotes[0];
  const source = 'class rule 7';
  expect(notesWith({ kind: 'percent', fraction: 0.02, source })).toContain(
    'A proof: 2 % of the pressure at the start of the dwell. Set by: class rule 7.',
  );
  expect(notesWith({ kind: 'drop', dropPa: pressureDifferencePa(5e5), source })).toContain('5\u00a0bar over the dwell');
  expect(notesWith({ kind: 'leak', leakM3PerS: 0.2e-6 / 60, source })).toContain('leak rate 0.2\u00a0mL/min');
});

test('retests, overruled findings and events that void stand under the remarks; nothing is told as nothing', () => {
  expect(certificateContent(samplePass()).remarks.lines).toEqual([
    'No deviations, additions or exclusions recorded; no retests; no steps forced.',
  ]);
  const lines = certificateContent(sampleThreeStages()).remarks.lines.join('\n');
  expect(lines).toContain('Overruled by Tobias Wrenfield (second gauge read the same): gauge range 400.0\u00a0bar');
  expect(lines).toContain('Attempt 2 at port A was made because of: bench fault (booster valve had not been shut).');
  expect(lines).toContain('Port A, attempt 1, invalid: topped up during the dwell');
  expect(lines).toContain('topped up by 3.50\u00a0bar in the dwell');
});

test('words of a declaration appear only when QA typed them', () => {
  expect(JSON.stringify(certificateContent(samplePass()))).not.toMatch(/EN 10204|safe/i);
  const declared = certificateContent(samplePass({ declaration: 'Inspection document 3.1 to EN 10204' }));
  expect(declared.remarks.lines[0]).toBe('Declared by QA: Inspection document 3.1 to EN 10204');
});

test('no trace, no certificate; control characters and a colour that is none are refused', () => {
  expect(() => certificateContent(samplePass({ trace: [] }))).toThrowError(/has no readings: without a trace/);
  expect(() => certificateContent(samplePass({ header: { customer: 'Tarn\u0007Quarry' } }))).toThrowError(
    /customer has the control character U\+0007/,
  );
  expect(() => certificateContent(samplePass({ header: { workOrder: 'WO\u202e7022' } }))).toThrowError(/U\+202E/);
  expect(() => certificateContent(samplePass({ accent: 'blue' }))).toThrowError(/"blue" is not a colour/);
});

test('a simulated gauge says so on every page, an imported log names its file', () => {
  expect(certificateContent(samplePsi()).everyPage).toEqual(['Simulated gauge: not evidence about a real cylinder.']);
  const gauge = { ...sampleHeader.gauge, source: 'hold-3.csv' };
  expect(certificateContent(samplePass({ header: { origin: 'imported', gauge } })).everyPage).toEqual([
    'Readings imported from hold-3.csv',
  ]);
});

test('the same input says the same', () => {
  expect(certificateContent(sampleThreeStages())).toEqual(certificateContent(sampleThreeStages()));
});

test('corrections of the calibration are named with the largest, as not applied', () => {
  const calibrationOf = (input: CertificateInput) =>
    certificateContent(input)
      .groups.flatMap(({ facts }) => facts)
      .find(({ label }) => label === 'Calibration')?.value;
  const plain = samplePass();
  expect(calibrationOf(plain)).not.toContain('not applied');
  const { gauge } = plain.header.plan;
  if (gauge.calibration === undefined) throw new Error('the sample has a calibration');
  const calibration = {
    ...gauge.calibration,
    corrections: [{ atPa: pressurePa(20_000_000), addPa: pressureDifferencePa(-40_000) }],
  };
  const plan = { ...plain.header.plan, gauge: { ...gauge, calibration } };
  expect(calibrationOf({ ...plain, header: { ...plain.header, plan } })).toMatch(
    /C-51120.*corrections \(up to 0\.4\d?.bar\) are kept in the record and not applied/,
  );
});

test('a hold judged by looking and by the cup says so, and claims no decision rule, in both languages', () => {
  const input = samplePass();
  const demand = { volumeM3: 0.05e-6, drops: 1, overS: 180, lessThan: true, source: 'order 7' } as const;
  const plan = {
    ...input.header.plan,
    ports: input.header.plan.ports.map((port) => ({ ...port, collected: demand })),
  };
  const ports = input.result.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({ ...stage, governingLimit: null, allowedDropPa: null })),
    collected: {
      leakM3PerS: 0,
      volumeM3: 0,
      overS: 180,
      agrees: true,
      limit: demand,
      verdict: 'pass' as const,
    },
  }));
  const byLooking = { ...input, header: { ...input.header, plan }, result: { ...input.result, ports } };
  expect(cell(byLooking, 'Decision rule')).toEqual({ kind: 'word', word: 'by looking' });
  expect(cell(byLooking, 'Allowed drop over the demanded dwell')).toEqual({ kind: 'word', word: 'by looking' });
  const { resultNotes, ports: notes } = certificateContent(byLooking);
  expect(resultNotes.join(' ')).toContain('no drop is allowed or forbidden; judged by time, level and the inspection');
  expect(resultNotes.join(' ')).toContain('less than 1 drop in 3\u00a0min; compared as read. Set by: order 7');
  expect(resultNotes.join(' ')).not.toContain('Decision rule, guarded');
  expect(notes[0]?.facts.find(({ label }) => label === 'Collected')?.value).toBe(
    '0\u00a0mL in 3\u00a0min (0\u00a0mL/min), allowed less than 1 drop in 3\u00a0min: pass; agrees with the fall of pressure',
  );
  const german = certificateContent({ ...byLooking, language: 'de' });
  expect(german.verdict.lines[0]).toMatch(/durch Besichtigung beurteilt; aufgefangen 0.mL in 3.min, zulässig weniger/);
  expect(german.resultNotes.join(' ')).toContain('weniger als 1 Tropfen in 3\u00a0min');
});

test.each([
  ['en', 'after repair', 'load-holding valve on A; taken off for the test'],
  ['de', 'nach Instandsetzung', 'load-holding valve on A; für die Prüfung abgebaut'],
] as const)(
  'facts that the job states stand in the groups of item and work (%s), and nowhere without them',
  (language, purpose, valves) => {
    const facts = {
      purpose: 'after repair',
      part: 'PN 20-4471',
      valves: { name: 'load-holding valve on A', tested: 'without' },
      torques: [{ part: 'head', torque: '450 N m', tool: 'TW 12' }],
    } as const;
    const values = (input: CertificateInput) =>
      certificateContent(input).groups.map((group) => group.facts.map(({ value }) => value));
    const plain = samplePass({ language });
    const stated = values({ ...plain, header: { ...plain.header, facts } });
    expect(stated[0]).toEqual([...(values(plain)[0] ?? []), 'PN 20-4471', valves]);
    expect(stated[1]).toEqual(expect.arrayContaining([purpose, 'head 450 N m (TW 12)']));
    expect(stated[1]).toHaveLength((values(plain)[1]?.length ?? 0) + 2);
  },
);
