import { describe, expect, it } from 'vitest';
import { readProcedure } from '../../src/procedure/index.js';
import { expectedCourse } from '../../src/procedure/plan/text/expected-course.js';
import { planned, portB, templateNames, templateText } from './sample-job.js';

describe.each(templateNames)('template %s', (name) => {
  const text = templateText(name);
  const procedure = readProcedure(text, { file: `${name}.toml` });

  it('is named by its id, and has a revision and a source', () => {
    expect(procedure.id).toBe(name);
    expect(procedure.revision).not.toBe('');
    expect(procedure.source.length).toBeGreaterThan(20);
    for (const { allowed } of procedure.stages) for (const { source } of allowed) expect(source).not.toBe('');
  });

  it('tells what to prepare, what to look at, and how to finish', () => {
    expect(procedure.prepare.join(' ')).toMatch(/relief valve/i);
    expect(procedure.finish.length).toBeGreaterThan(1);
    for (const stage of procedure.stages) expect(stage.look).not.toEqual([]);
  });

  it('never above 106 % of the test pressure', () =>
    expect(procedure.limits.overpressure).toMatchObject({ of: 'test', fraction: 1.06 }));

  it('explains itself: comments, and no line over 160 columns but a source', () => {
    expect(text.startsWith('# ')).toBe(true);
    for (const line of text.split('\n')) if (!line.startsWith('source')) expect(line.length).toBeLessThanOrEqual(160);
  });

  it('the sample job can be planned by it without a stop', () =>
    expect(
      planned({ template: name, job: [portB, ['relief = "250 bar"\n', '']] }).findings.filter(
        ({ grade }) => grade === 'stop',
      ),
    ).toEqual([]));

  it('a sound cylinder with a tenth of the limit can pass each stage', () => {
    for (const port of planned({ template: name, job: [portB] }).figures.ports)
      for (const stage of port.stages)
        expect(stage.smallestDropPa).toBeLessThan(0.9 * (stage.allowedDropPa ?? Number.POSITIVE_INFINITY));
  });
});

describe.each(['routine-look', 'three-minute-hold', 'collected-by-bore'] as const)('%s, on every size', (template) => {
  const sizes = [
    [40, 22, 200],
    [63, 36, 300],
    [100, 56, 500],
    [200, 140, 1200],
    [320, 220, 2500],
  ] as const;
  it.each([160, 250, 350, 700])('rated %d bar: plans without a warning, in at most 6 min a port', (rated) => {
    for (const [bore, rod, stroke] of sizes) {
      const made = planned({
        template,
        job: [
          portB,
          ['0..400 bar', `0..${rated * 2.5} bar`],
          ['"100 mm"', `"${bore} mm"`],
          ['"56 mm"', `"${rod} mm"`],
          ['"500 mm"', `"${stroke} mm"`],
          ['barrel_outside = "120 mm"\n', ''],
          ['"160 bar"', `"${rated} bar"`],
          ['relief = "250 bar"', `relief = "${rated * 1.55} bar"\npump_flow = "2 L/min"`],
        ],
      });
      expect(made.findings.filter(({ grade }) => grade !== 'note')).toEqual([]);
      const rampS = (1.5 * rated) / 10;
      for (const port of made.figures.ports)
        expect((expectedCourse(port).at(-1)?.toS ?? 0) - rampS).toBeLessThanOrEqual(360);
    }
  });
});

describe('particular templates', () => {
  const stages = (name: string) => readProcedure(templateText(name), { file: name }).stages;

  it('pump, then booster: both ports, the boosted pressure about 1.7 times the pump', () => {
    const procedure = readProcedure(templateText('pump-then-booster'), { file: 'p' });
    expect(procedure.ports).toEqual(['A', 'B']);
    const [pump, boosted] = planned({ template: 'pump-then-booster', job: [portB] }).plan.ports[0]?.stages ?? [];
    expect((boosted?.targetPa ?? 0) / (pump?.targetPa ?? 1)).toBeCloseTo(1.7, 1);
  });

  it('a bench check is judged in mL/min', () =>
    expect(stages('bench-check')[0]?.allowed.map(({ kind }) => kind)).toEqual(['leak']));

  it("a customer's limit in psi and in mL/min", () =>
    expect(stages('customer-limit')[0]?.allowed.map(({ kind }) => kind)).toEqual(['drop', 'leak']));

  it('the low stage is judged by looking in 30 s, and a port takes 5 min at most', () => {
    expect(stages('low-then-proof')[0]).toMatchObject({ dwellS: 30, allowed: [] });
    const [port] = planned({ template: 'low-then-proof' }).figures.ports;
    expect(port && expectedCourse(port).at(-1)?.toS).toBeLessThanOrEqual(300);
  });

  it('the low stage comes before the proof', () =>
    expect(stages('low-then-proof').map(({ name }) => name)).toEqual(['low', 'proof']));
});
