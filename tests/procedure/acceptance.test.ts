import { describe, expect, it } from 'vitest';
import { readProcedure } from '../../src/procedure/index.js';
import { DwellmarkError, spell, unitSystems } from '../../src/units/index.js';
import { changed, planned, templateText } from './sample-job.js';

const byDrop = 'allowed_decay = { drop = "2 %" }   # of the pressure at the start of the dwell';
const limits = '[limits]\n';
const decay = (table: string) => [byDrop, table] as const;
const collected = (lines: string) => [limits, `${limits}${lines}\n`] as const;

/** What a reader is told of a finding, in bar; undefined when it is not there. */
const finding = (change: Parameters<typeof planned>[0], code: string) => {
  const found = planned(change).findings.find((one) => one.code === code);
  return found && { ...found, text: spell(found.text, unitSystems.bar).replaceAll('\u00a0', ' ') };
};

describe('a procedure that says what is accepted', () => {
  it('without allowed_decay no figure decides', () => {
    const { plan, figures } = planned({ procedure: [decay('')] });
    expect(plan.ports[0]?.stages[0]?.allowed).toEqual([]);
    expect(figures.ports[0]?.stages[0]).toMatchObject({
      governing: null,
      allowedDropPa: null,
      allowedLeakM3PerS: null,
      dwellNeededS: null,
      temperatureForLimitK: null,
    });
    expect(finding({ procedure: [decay('')] }, 'look-only')?.text).toContain('the inspection by the named technician');
    for (const code of ['temperature', 'heat-of-compression', 'limit-below-resolution', 'gauge-resolution'])
      expect(finding({ procedure: [decay('')] }, code)).toBeUndefined();
  });

  it.each([
    ['1 mL in 3 min', { volumeM3: 1e-6, overS: 180 }],
    ['0.2 in3 in 10 min', { volumeM3: expect.closeTo(3.277e-6, 9), overS: 600 }],
    ['6 drops in 3 min', { volumeM3: expect.closeTo(0.3e-6, 12), drops: 6, overS: 180 }],
    ['less than 1 drop in 3 min', { volumeM3: expect.closeTo(0.05e-6, 12), drops: 1, overS: 180, lessThan: true }],
    ['< 1 mL in 30 s', { volumeM3: 1e-6, overS: 30, lessThan: true }],
    ['0 mL in 3 min', { volumeM3: 0, overS: 180 }],
  ])('collected = "%s" stands in the plan of the port', (text, demand) => {
    const { plan } = planned({ procedure: [collected(`collected = "${text}"`)] });
    expect(plan.ports[0]?.collected).toMatchObject(demand);
    expect(plan.ports[0]?.collected?.source).toBe(plan.procedure.source);
  });

  it('a table by bore gives the row that reaches the bore, and its source', () => {
    const table = 'collected = { "125 mm" = "2 mL in 3 min", "63 mm" = "1 mL in 3 min" }\ncollected_source = "order 7"';
    const at = (bore: string) =>
      planned({
        procedure: [collected(table)],
        job: [
          ['bore = "100 mm"', `bore = "${bore}"`],
          ['barrel_outside = "120 mm"\n', ''],
        ],
      }).plan.ports[0]?.collected;
    expect(at('63 mm')).toMatchObject({ volumeM3: 1e-6, source: 'order 7 (bore up to 63 mm)' });
    expect(at('64 mm')).toMatchObject({ volumeM3: 2e-6, source: 'order 7 (bore up to 125 mm)' });
    expect(() => at('126 mm')).toThrow(/the table ends at a bore of 125 mm, and this cylinder has 126.mm/);
  });

  it('leak_by_bore is a limit on the leakage, and governs like one', () => {
    const table =
      'allowed_decay = { leak_by_bore = { "4 in" = "0.2 mL/min", "6 in" = "0.5 mL/min" }, source = "order 7" }';
    const [stage] = planned({ procedure: [decay(table)] }).plan.ports[0]?.stages ?? [];
    expect(stage?.allowed).toEqual([
      { kind: 'leak', leakM3PerS: expect.closeTo(0.2e-6 / 60, 15), source: 'order 7 (bore up to 4 in)' },
    ]);
  });

  it.each([
    [
      'a table nobody set',
      decay('allowed_decay = { leak_by_bore = { "63 mm" = "1 mL/min" } }'),
      'stage[1].allowed_decay.leak_by_bore',
      /nobody is named/,
    ],
    [
      'a table without rows',
      decay('allowed_decay = { leak_by_bore = { }, source = "x" }'),
      'stage[1].allowed_decay.leak_by_bore',
      /no rows/,
    ],
    [
      'a bore that is none',
      decay('allowed_decay = { leak_by_bore = { "63" = "1 mL/min" }, source = "x" }'),
      'stage[1].allowed_decay.leak_by_bore.63',
      /no unit/,
    ],
    [
      'a bore below zero',
      decay('allowed_decay = { leak_by_bore = { "-6 mm" = "1 mL/min" }, source = "x" }'),
      'stage[1].allowed_decay.leak_by_bore.-6 mm',
      /more than zero/,
    ],
    [
      'a bore twice',
      decay('allowed_decay = { leak_by_bore = { "50 mm" = "1 mL/min", "5 cm" = "2 mL/min" }, source = "x" }'),
      'stage[1].allowed_decay.leak_by_bore.50 mm',
      /stands twice/,
    ],
    [
      'a leakage without a unit',
      decay('allowed_decay = { leak_by_bore = { "50 mm" = "1" }, source = "x" }'),
      'stage[1].allowed_decay.leak_by_bore.50 mm',
      /no unit/,
    ],
    ['an empty limit', decay('allowed_decay = { }'), 'stage[1].allowed_decay', /no limit is set/],
    ['a plain drop that nothing limits', decay('judge = "plain drop"'), 'stage[1].judge', /allowed or forbidden/],
    [
      'an amount without a time',
      collected('collected = "1 mL"'),
      'limits.collected',
      /not an amount of oil over a time/,
    ],
    ['an amount of something else', collected('collected = "1 bar in 3 min"'), 'limits.collected', /not one of volume/],
    ['no time at all', collected('collected = "1 mL in 0 s"'), 'limits.collected', /more than zero/],
    ['less than nothing', collected('collected = "less than 0 drops in 3 min"'), 'limits.collected', /nothing is less/],
    [
      'a cup table nobody set',
      collected('collected = { "63 mm" = "1 mL in 3 min" }'),
      'limits.collected',
      /nobody is named/,
    ],
    [
      'a cup table with a bad row',
      collected('collected = { "63 mm" = "1 mL" }\ncollected_source = "x"'),
      'limits.collected.63 mm',
      /not an amount/,
    ],
  ] as const)('%s is refused at its key', (_, change, key, message) => {
    const text = changed(templateText('cylinder-proof'), [change]);
    try {
      readProcedure(text, { file: 'p.toml' });
    } catch (error) {
      if (!(error instanceof DwellmarkError)) throw error;
      expect(error.message).toMatch(message);
      expect(error.place.key?.replaceAll('"', '')).toBe(key);
      expect(error.place.line).toBeGreaterThan(1);
      return;
    }
    throw new Error('not refused');
  });
});

describe('what the plan says of it', () => {
  it('a closed port has nothing to collect: stop', () => {
    const change = {
      procedure: [collected('collected = "1 mL in 3 min"'), ['"1.5 x rated"', '"90 bar"'] as const],
      job: [['opposite = "open"', 'opposite = "gauge"'] as const],
    };
    expect(finding(change, 'nothing-to-collect')).toMatchObject({
      grade: 'stop',
      text: expect.stringMatching(/at most 1\.00 mL in 3 min, and port B is closed/),
    });
  });

  it('a plunger has no piston to pass: everything else decides', () => {
    const change = {
      procedure: [collected('collected = "1 mL in 3 min"')],
      job: [
        ['serial = "C-1042"', 'serial = "C-1042"\nkind = "plunger"'] as const,
        ['opposite = "open"\n', ''] as const,
      ],
    };
    expect(planned(change).plan.ports[0]?.collected).toBeUndefined();
    expect(finding(change, 'nothing-to-collect')).toMatchObject({ grade: 'note' });
  });
});
