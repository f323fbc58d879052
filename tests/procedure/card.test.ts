import { describe, expect, it } from 'vitest';
import { cardLines, dangersOf } from '../../src/procedure/index.js';
import { type UnitSystemName, unitSystems } from '../../src/units/index.js';
import { planned, portB, templateNames } from './sample-job.js';

type Changes = NonNullable<Parameters<typeof planned>[0]>;
type Change = readonly [string, string];

function cardOf(change: Changes, system: UnitSystemName = 'bar'): string[] {
  const { job, figures, findings, plan } = planned(change);
  const ports = job.ports.filter(({ port }) => plan.ports.some((one) => one.port === port));
  return cardLines(figures, findings, dangersOf(job, ports, figures.subject), unitSystems[system]).map((line) =>
    line.replaceAll('\u00a0', ' '),
  );
}

/** What stops a test or speaks against it stands whole, however long; the card itself is a screen. */
function ownLines(lines: readonly string[]): number {
  const before = lines.slice(
    0,
    lines.findIndex((line) => line.includes('PORT ')),
  );
  const warned = before.findIndex((line) => /^(?:STOP|WARNINGS)/.test(line));
  return lines.length - (warned < 0 ? 0 : before.length - warned);
}

const kind = (lines: string): Change => ['serial = "C-1042"', `serial = "C-1042"\n${lines}`];
const atB: Change = ['name = "A"\nposition = "extended"', 'name = "B"\nposition = "retracted"'];
type Size = readonly [bore: number, rod: number, stroke: number, outside: number];
const sizes: readonly Size[] = [
  [40, 22, 200, 50],
  [63, 36, 300, 78],
  [100, 56, 500, 120],
  [200, 110, 1200, 240],
  [320, 180, 2500, 390],
];
const stages = ([bore, rod]: Size, more = ''): Change =>
  kind(`kind = "telescopic"\nstage_bores = ["${bore} mm", "${(bore + rod) / 2} mm"]\nend_stops = "the maker"\n${more}`);

/** The kinds of cylinder, each at the ports that it has. */
const kinds: Readonly<Record<string, (size: Size) => readonly Change[]>> = {
  'double-acting': () => [portB],
  'double-rod': () => [kind('kind = "double-rod"'), portB],
  'single-acting': () => [kind('kind = "single-acting"')],
  'single-acting pull': () => [kind('kind = "single-acting pull"'), atB],
  plunger: () => [kind('kind = "plunger"\nend_stops = "the maker"'), ['opposite = "open"\n', '']],
  telescopic: (size) => [stages(size), [`rod = "${size[1]} mm"\n`, '']],
  'double-acting telescopic': (size) => [stages(size, 'retract_passages = "the maker"'), portB],
};

const bench: Change = [
  'relief = "250 bar"',
  'relief = "250 bar"\npump_pressure = "160 bar"\npump_flow = "2 L/min"\nbooster_ratio = 60\nbooster_air = "6 bar"\nbooster_stroke = "9 mL"\nhose = "400 bar"\nplugs = "350 bar"',
];

/** A job of a kind and a size, on a bench with pump and booster. */
const jobOf = (name: string, size: Size): readonly Change[] => [
  ['bore = "100 mm"', `bore = "${size[0]} mm"`],
  ['rod = "56 mm"', `rod = "${size[1]} mm"`],
  ['"500 mm"', `"${size[2]} mm"`],
  ['"120 mm"', `"${size[3]} mm"`],
  bench,
  ...(kinds[name]?.(size) ?? []),
];

const every = Object.keys(kinds).flatMap((name) =>
  sizes.flatMap((size) => (['bar', 'psi'] as const).map((system) => ({ name, size, system, bore: size[0] }))),
);

describe('the card of a bench with pump and booster is one screen', () => {
  it.each(every)('$name, bore $bore mm, in $system', ({ name, size, system }) => {
    const lines = cardOf({ template: 'pump-then-booster', job: jobOf(name, size) }, system);
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(lines.join('\n')).not.toMatch(/[{}]|NaN|undefined|null|n\/a/);
    expect(ownLines(lines)).toBeGreaterThanOrEqual(24);
    expect(ownLines(lines)).toBeLessThanOrEqual(42);
  });

  it('a 5 in bore, both ports: at most 40 lines, with the dangers before anything else', () => {
    const lines = cardOf(
      {
        template: 'pump-then-booster',
        job: [
          portB,
          ['"100 mm"', '"5 in"'],
          ['"56 mm"', '"2.5 in"'],
          ['"500 mm"', '"24 in"'],
          ['"120 mm"', '"6 in"'],
          ['"160 bar"', '"3000 psi"'],
          ['0..400 bar', '0..10000 psi'],
          ['"0.1 bar"', '"1 psi"'],
          [
            'relief = "250 bar"',
            'relief = "4700 psi"\npump_pressure = "3000 psi"\npump_flow = "0.5 gal/min"\nbooster_ratio = 60\nbooster_air = "100 psi"\nbooster_stroke = "9 mL"\nhose = "6000 psi"\nplugs = "5000 psi"',
          ],
        ],
      },
      'psi',
    );
    expect(lines.length).toBeLessThanOrEqual(40);
    const at = (text: string): number => lines.findIndex((line) => line.includes(text));
    const order = ['WO-2207', 'DANGER', 'in line with the rod', 'PORT A', 'Never above', 'End thrust', 'drops/min'];
    expect(order.map(at)).toEqual(order.map(at).toSorted((a, b) => a - b));
    const text = lines.join('\n').replace(/ +/g, ' ');
    for (const piece of [
      'PORT A PORT B',
      'Test pressure 4500 psi, 1.5 x the rated 3000 psi',
      'Never above 4770 psi',
      'Relief valve 4700 psi, as stated',
      'Can come 4700 psi (pump 3000 psi, booster stalls at 6000 psi)',
      'Weakest part the plugs, 5000 psi: loaded to 94 %',
      // pi/4 x 25 in2 x 4500 psi, and less pi/4 x 6.25 in2.
      'End thrust 88357 lbf on the head',
      '66268 lbf on the cap',
      'booster strokes',
      'A static 4500 4410 to 4725 5 min 90.0',
    ])
      expect(text).toContain(piece);
  });
});

describe('the card', () => {
  it.each(templateNames)('%s fits as it is shipped', (template) => {
    const lines = cardOf({ template, job: [portB] });
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(ownLines(lines)).toBeLessThanOrEqual(40);
  });

  it('stops come before all figures, each with what to do', () => {
    const lines = cardOf({ job: [['opposite = "open"', 'opposite = "blocked"']] });
    const stop = lines.findIndex((line) => line.startsWith('STOP'));
    expect(stop).toBeGreaterThan(lines.indexOf('DANGER'));
    expect(stop).toBeLessThan(lines.findIndex((line) => line.includes('PORT A')));
    expect(lines.join(' ')).toMatch(/Open port B to a\s+tray/);
    expect(lines.join(' ')).toContain('A closed opposite port can see more pressure');
  });

  it('of a vessel has no piston, no thrust and no tray', () => {
    const vessel: Change[] = [
      kind('kind = "vessel"\nvolume = "0.35 L"\nparts = ["body", "plugs"]'),
      ['bore = "100 mm"\nrod = "56 mm"\nstroke = "500 mm"\n', ''],
      ['barrel_outside = "120 mm"\n', ''],
      ['position = "extended"\nopposite = "open"\n', ''],
    ];
    const card = cardOf({ job: vessel }).join('\n');
    for (const piece of ['Piston', 'End thrust', 'Not tested', 'Lead the open port']) expect(card).not.toContain(piece);
    expect(card).toMatch(/Oil to fill\s+750 mL/);
  });

  it('keeps a stated relief setting between test pressure and maximum, and says what to set any other to', () => {
    const relief = (bar: number): string =>
      cardOf({ job: [['relief = "250 bar"', `relief = "${bar} bar"`]] }).find((line) =>
        line.includes('Relief valve'),
      ) ?? '';
    expect(relief(250)).toContain('250.0 bar, as stated');
    for (const bar of [240, 255, 300]) expect(relief(bar)).toContain('set to about 254.4 bar');
  });

  it('names what only some cylinders have', () => {
    const rings = cardOf({ job: jobOf('double-acting telescopic', [100, 56, 500, 120]) }).join('\n');
    expect(rings).toMatch(/Retract rings\s+up to/);
    expect(rings).toContain('Stages move out in order');
    const lines = cardOf({ template: 'bench-check' }).join('\n');
    for (const piece of ['Piston', 'End thrust', 'Not tested', 'Lead the open port'])
      expect(lines).not.toContain(piece);
    expect(cardOf({ template: 'collected-by-bore' }).join('\n')).toMatch(
      /Oil collected\s+at most 2.00 mL in 5 min at port B: decides/,
    );
  });
});
