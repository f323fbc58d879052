import { describe, expect, it } from 'vitest';
import { cautionLines, cautionsOf, planLines, readProcedure } from '../../src/procedure/index.js';
import { DwellmarkError, unitSystems } from '../../src/units/index.js';
import { changed, planned, portB, templateNames, templateText } from './sample-job.js';

const withStrokes = (table: string): readonly (readonly [string, string])[] => [
  ['[bleed_down]', `[strokes]\n${table}\n\n[bleed_down]`],
];
const proof = templateText('cylinder-proof');
const read = (table: string) => readProcedure(changed(proof, withStrokes(table)), { file: 'own.toml' });

function refusalOf(text: string): DwellmarkError {
  try {
    readProcedure(text, { file: 'own.toml' });
  } catch (error) {
    if (error instanceof DwellmarkError) return error;
  }
  throw new Error('nothing was refused');
}

describe('slow strokes in a procedure', () => {
  it('are asked for by number; 2 min of rest before each (SAE J1335, as cited elsewhere)', () => {
    expect(read('wanted = 3').strokes).toEqual({ wanted: 3, restS: 120, limits: null });
    expect(read('wanted = 4\nrest = "30 s"').strokes).toEqual({ wanted: 4, restS: 30, limits: null });
    for (const name of templateNames)
      expect(readProcedure(templateText(name), { file: name }).strokes, name).toBeNull();
  });

  it('with limits, and who set them, in the plan of each port', () => {
    const { plan } = planned({
      procedure: withStrokes('wanted = 3\nbreak_away_max = "8 bar"\ndrag_max = "2 %"\nsource = "order 4711"'),
      job: [portB],
    });
    expect(plan.ports.map(({ strokes }) => strokes)).toEqual([
      expect.objectContaining({
        wanted: 3,
        belowPa: 60e5,
        limits: { breakAwayMaxPa: 8e5, dragMaxPa: 4.8e5, source: 'order 4711' },
      }),
      expect.objectContaining({ wanted: 3 }),
    ]);
  });

  it('that nobody asks for are read all the same; plugged lines have none', () => {
    expect(planned().plan.ports[0]?.strokes).toEqual({ wanted: 0, restS: 120, belowPa: 60e5 });
    expect(planned({ template: 'bench-check' }).plan.ports[0]?.strokes).toBeUndefined();
  });

  it.each([
    ['a limit without its author', 'wanted = 3\nbreak_away_max = "8 bar"', 'break_away_max =', /nobody is named/],
    ['a drag without its author', 'wanted = 3\ndrag_max = "8 bar"', 'drag_max =', /nobody is named/],
    ['none at all', 'wanted = 0', 'wanted =', /at least one stroke/],
    ['a mistyped key', 'wanted = 3\nrests = "30 s"', 'rests =', /unknown key "rests"/],
  ])('%s is refused with its line', (_, table, piece, says) => {
    const text = changed(proof, withStrokes(table));
    const error = refusalOf(text);
    expect(error.message).toMatch(says);
    expect(error.place).toMatchObject({
      file: 'own.toml',
      line: 1 + text.split('\n').findIndex((line) => line.startsWith(piece)),
    });
  });

  it('of plugged lines are refused', () =>
    expect(refusalOf(changed(templateText('bench-check'), withStrokes('wanted = 3'))).message).toMatch(/no piston/));

  it('stand in the text of the plan', () => {
    const { figures, findings } = planned({
      procedure: withStrokes('wanted = 3\nbreak_away_max = "8 bar"\nsource = "order 4711"'),
    });
    const text = planLines(figures, findings, unitSystems.bar)
      .join(' ')
      .replaceAll('\u00a0', ' ')
      .replaceAll(/ +/g, ' ');
    expect(text).toContain(
      'Slow strokes 3, below 60.0 bar, the gauge at zero for 2 min before each; break-away at most 8.0 bar (order 4711)',
    );
    const without = planned();
    expect(planLines(without.figures, without.findings, unitSystems.bar).join(' ')).not.toContain('Slow strokes');
  });
});

describe('the cautions of a plan', () => {
  const job = planned({ job: [portB] }).job;

  it('stand by their moment, each once, within 80 columns, in bar and in psi', () => {
    for (const system of [unitSystems.bar, unitSystems.psi]) {
      const lines = cautionLines(job, job.ports, 'cylinder', system);
      expect(lines[0]).toBe('TAKE CARE BEFORE PRESSURE');
      expect(lines.filter((line) => line.startsWith('TAKE CARE'))).toHaveLength(4);
      expect(lines.filter((line) => line.length > 80)).toEqual([]);
      expect(lines.join('\n')).not.toMatch(/[{}]/);
    }
    expect(cautionLines(job, job.ports, 'cylinder', unitSystems.psi).join(' ')).toMatch(/100.psi can break the skin/);
  });

  it('name the port where they hold for one alone', () => {
    const [a, b] = job.ports;
    if (!a || !b) throw new Error('the sample job has two ports');
    const closed = cautionsOf(job, [{ ...a, opposite: 'blocked' }, b], 'cylinder');
    expect(closed.find(({ moment }) => moment === 'bleed-down')?.cautions[0]).toMatch(
      /^Port A: Oil is shut in at port B/,
    );
    expect(closed.find(({ moment }) => moment === 'before a closed port')?.cautions[0]).toMatch(/^Port A: A closed/);
  });

  it('of plugged lines know of no rod and no seal', () => {
    const texts = cautionsOf(job, job.ports, 'plugged lines').flatMap(({ cautions }) => cautions);
    expect(texts.join(' ')).not.toMatch(/passing seal|Trapped oil that warms/);
    expect(texts.length).toBeGreaterThan(5);
  });

  it('a finding that says the same of both ports is said once', () => {
    const { figures, findings } = planned({ job: [portB, ['relief = "250 bar"', 'relief = "350 bar"']] });
    const text = planLines(figures, findings, unitSystems.bar).join('\n');
    expect(findings.filter(({ code }) => code === 'relief-high')).toHaveLength(2);
    expect(text.match(/A and B: The relief/g) ?? []).toHaveLength(1);
  });
});
