import { describe, expect, it } from 'vitest';
import { planLines, readProcedure, stepLines } from '../../src/procedure/index.js';
import { expectedCourse } from '../../src/procedure/plan/text/expected-course.js';
import { pressurePicture } from '../../src/procedure/plan/text/pressure-picture.js';
import { type UnitSystemName, unitSystems } from '../../src/units/index.js';
import { planned, portB, templateNames, templateText } from './sample-job.js';

const systems = Object.keys(unitSystems) as UnitSystemName[];
const pairs = templateNames.flatMap((template) => systems.map((system) => ({ template, system })));

describe('the plan as text', () => {
  it.each(pairs)('$template in $system keeps to 80 columns and leaves no figure unspelled', ({ template, system }) => {
    const { figures, findings } = planned({ template, job: [portB] });
    const lines = planLines(figures, findings, unitSystems[system]);
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(lines.join('\n')).not.toMatch(/[{}]|NaN|undefined|n\/a/);
  });

  it('says in bar what the bench needs', () => {
    const { figures, findings } = planned();
    const text = planLines(figures, findings, unitSystems.bar).join('\n').replaceAll('\u00a0', ' ');
    for (const piece of [
      'Plan for WO-2207: cylinder C-1042',
      'PORT A: piston extended, port B open',
      '240.0 bar, 1.5 x the rated 160.0 bar; never',
      'at 250.0 bar; set to about 254.4 bar, never',
      'Stage, bar',
      'proof       240.0   235.2 to 252.0   5 min  4.80     1.07      1.67 x',
      '188 kN',
      'calibration due 2027-03-14',
    ])
      expect(text).toContain(piece);
  });

  it('says in psi what the bench needs', () => {
    const { figures, findings } = planned({ template: 'customer-limit' });
    const text = planLines(figures, findings, unitSystems.psi).join('\n').replaceAll('\u00a0', ' ');
    for (const piece of ['3000 psi, 1.29 x the rated 2321 psi; never above', 'set to about 3180 psi', '100 psi'])
      expect(text).toContain(piece);
    expect(text).not.toMatch(/\d bar/);
  });

  it('a bench check names no piston', () => {
    const { figures, findings } = planned({ template: 'bench-check' });
    const text = planLines(figures, findings, unitSystems.bar).join('\n');
    expect(text).toContain('PORT A: plugged lines, no cylinder');
    expect(text).not.toContain('End thrust');
    expect(text).toContain('Dwell needed');
  });

  it('what stops the test comes first, and the other findings last, with port and stage', () => {
    const { figures, findings } = planned({ demand: { on: '2027-04-01' } });
    const lines = planLines(figures, findings, unitSystems.bar);
    const [first, at] = [lines.indexOf('STOP'), lines.indexOf('FINDINGS')];
    expect(lines[first + 1]).toMatch(/^ {2}stop {2}Gauge SN 40117: calibration CAL-0311 was due/);
    expect(first).toBeLessThan(lines.findIndex((line) => line.startsWith('PORT A')));
    expect(lines.slice(at).join(' ')).not.toContain('stop');
    expect(lines.slice(at).join(' ')).toContain('note  A proof: Oil that cools');
  });
});

describe('the steps of a procedure', () => {
  it.each(templateNames)('%s: numbered, within 80 columns', (name) => {
    const lines = stepLines(readProcedure(templateText(name), { file: name }));
    expect(lines[0]).toBe('BEFORE PRESSURE');
    expect(lines[1]).toMatch(/^ {2}1 {2}\S/);
    expect(lines).toContain('AFTER BLEED-DOWN');
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('the low stage shows the level above which it is void', () => {
    const { figures, findings } = planned({ template: 'low-then-proof' });
    const text = planLines(figures, findings, unitSystems.bar).join('\n').replaceAll('\u00a0', ' ');
    expect(text).toContain('Void above        low: 10.0 bar; bleed to zero and start again');
  });
});

describe('the picture of expected pressure', () => {
  const low = planned({ template: 'low-then-proof' }).figures.ports[0];
  if (!low) throw new Error('the sample job has port A');

  it('the course runs ramp, settle, dwell for each stage, then bleed-down', () => {
    const course = expectedCourse(low);
    expect(course.map(({ part }) => part)).toEqual([
      'ramp',
      'stabilise',
      'dwell',
      'ramp',
      'stabilise',
      'dwell',
      'bleed-down',
    ]);
    expect(course.map(({ toPa }) => toPa / 1e5)).toEqual([5, 5, 5, 240, 240, 240, 0]);
    for (const [index, piece] of course.entries()) expect(piece.fromS).toBe(course[index - 1]?.toS ?? 0);
    expect(course.at(-1)?.toS).toBeCloseTo(5 + 30 + 23.5 + 180 + 20, 6);
  });

  it('a proof hold, drawn', () => {
    const [port] = planned().figures.ports;
    if (!port) throw new Error('the sample job has port A');
    const picture = pressurePicture(port, unitSystems.bar, { columns: 40, rows: 5 }).map((line) =>
      line.replaceAll('\u00a0', ' '),
    );
    expect(picture).toEqual([
      '254.4 bar |- - - - - - - - - - - - - - never above',
      '240.0 bar |  /...================================',
      '          | /                                    \\',
      '          |/                                     \\',
      '  0.0 bar |                                       \\',
      '          +----------------------------------------',
      '           0              2 min 52 s     5 min 44 s',
    ]);
  });

  it('the dwell takes the share of the width that it takes of the time', () => {
    const [port] = planned().figures.ports;
    if (!port) throw new Error('the sample job has port A');
    const drawn = pressurePicture(port, unitSystems.bar).join('').split('=').length - 1;
    expect(drawn / 64).toBeCloseTo(300 / 374, 1);
  });
});
