import { describe, expect, it } from 'vitest';
import { planLines, readProcedure } from '../../src/procedure/index.js';
import { DwellmarkError, spell, unitSystems } from '../../src/units/index.js';
import { changed, planned, portB, templateText } from './sample-job.js';

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

describe('before oil moves', () => {
  const levels = [200, 239, 241, 250, 254, 256, 300];
  const bar = (figure: number | null, key: string) => (figure === null ? '' : `${key} = "${figure} bar"\n`);
  const pick = (at: number, step: number): number | null => levels[Math.floor(at / step) % (levels.length + 1)] ?? null;
  const corners = Array.from({ length: 8 ** 3 }, (_, at) => ({
    relief: pick(at, 1),
    pump: pick(at, 8),
    hose: pick(at, 64),
    // Two corners of each of the other figures, so that every pair of them comes up.
    stall: at % 3 === 0 ? null : (levels[at % levels.length] ?? null),
    plugs: at % 5 === 0 ? null : (levels[(at * 3) % levels.length] ?? null),
    allowed: at % 7 === 0 ? null : (levels[(at * 5) % levels.length] ?? null),
  }));

  it('no setting that lets the pressure past a limit goes unsaid, nor is one stopped that does not', () => {
    for (const corner of corners) {
      const { relief, pump, hose, stall, plugs, allowed } = corner;
      const bench = [
        bar(relief, 'relief'),
        bar(pump, 'pump_pressure'),
        bar(hose, 'hose'),
        bar(plugs, 'plugs'),
        stall === null ? '' : `booster_ratio = ${stall / 5}\nbooster_air = "5 bar"\n`,
      ].join('');
      const max = bar(allowed, 'test_pressure_max');
      const { findings } = planned({
        job: [
          ['relief = "250 bar"\n', bench],
          ['rated_pressure = "160 bar"\n', `rated_pressure = "160 bar"\n${max}`],
        ],
      });
      const stops = findings.filter(({ grade }) => grade === 'stop').map(({ code }) => code);
      const source = pump === null && stall === null ? null : Math.max(pump ?? 0, stall ?? 0);
      const comes = Math.min(relief ?? Number.POSITIVE_INFINITY, source ?? Number.POSITIVE_INFINITY);
      const most = Number.isFinite(comes) ? Math.max(comes, 240) : 240;
      const limit = Math.min(254.4, hose ?? 1e9, plugs ?? 1e9, allowed ?? 1e9);
      const high = relief !== null && relief > Math.min(254.4, allowed ?? 1e9);
      expect(stops.length > 0, JSON.stringify({ ...corner, stops })).toBe(most > limit || high);
    }
  });

  it('advises no relief setting above any limit', () => {
    for (const { hose, plugs, allowed } of corners) {
      const max = bar(allowed, 'test_pressure_max');
      const { figures } = planned({
        job: [
          ['relief = "250 bar"\n', bar(hose, 'hose') + bar(plugs, 'plugs')],
          ['rated_pressure = "160 bar"\n', `rated_pressure = "160 bar"\n${max}`],
        ],
      });
      const wanted = (figures.ports[0]?.reliefWantedPa ?? 0) / 1e5;
      expect(wanted).toBeLessThanOrEqual(Math.min(254.4, hose ?? 1e9, plugs ?? 1e9, allowed ?? 1e9) + 1e-9);
    }
  });

  it('says on one card what can come, and what each part bears of it, the weakest first', () => {
    const { figures, findings } = planned({
      job: [
        [
          'relief = "250 bar"',
          'relief = "250 bar"\npump_pressure = "180 bar"\nbooster_ratio = 60\nbooster_air = "6 bar"\nhose = "400 bar"\nplugs = "350 bar"',
        ],
      ],
    });
    const card = planLines(figures, findings, unitSystems.bar)
      .join('\n')
      .replaceAll('\u00a0', ' ')
      .replace(/\s+/g, ' ');
    expect(card).toContain('Test pressure 240.0 bar, 1.5 x the rated 160.0 bar; never above 254.4 bar');
    expect(card).toContain('Bench pump 180.0 bar, booster stalls at 360.0 bar, at most 250.0 bar can come');
    expect(card).toContain('Bears the plugs 350.0 bar (71.4 %), the hose 400.0 bar (62.5 %)');
  });

  it('a chamber rated above the cylinder is refused', () => {
    expect(() => planned({ job: [['name = "A"', 'name = "A"\nrated_pressure = "161 bar"']] })).toThrow(
      'a chamber is rated above the cylinder itself',
    );
  });

  it('each chamber is tested by its own rating, and the record keeps it', () => {
    const { plan } = planned({
      job: [portB, ['name = "B"', 'name = "B"\nrated_pressure = "100 bar"\nrelief = "155 bar"']],
    });
    expect(plan.ports.map(({ stages }) => (stages[0]?.targetPa ?? 0) / 1e5)).toEqual([240, 150]);
    expect(plan.ports.map(({ ratedPa }) => ratedPa)).toEqual([undefined, 100e5]);
    expect(plan.ports[0]?.oppositeLimitPa).toBe(100e5);
  });
});

describe('what bears the thrust', () => {
  const plunger = [
    ['serial = "C-1042"', 'serial = "C-1042"\nkind = "plunger"'],
    ['opposite = "open"\n', ''],
  ] as const;
  const telescopic = [
    ['serial = "C-1042"', 'serial = "C-1042"\nkind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]'],
    ['rod = "56 mm"\n', ''],
  ] as const;
  const restrained = ['position = "extended"', 'position = "extended"\nrestrained = true'] as const;
  const rated = ['stroke = "500 mm"', 'stroke = "500 mm"\nend_stops = "rated for 300 bar, drawing 12"'] as const;

  it.each([
    ['plunger', plunger],
    ['telescopic', telescopic],
  ] as const)('%s fully out: a stop, until somebody says that the end stops bear it, or the rod is held', (_, kind) => {
    expect(finding({ job: kind }, 'end-stops')).toMatchObject({
      grade: 'stop',
      text: expect.stringMatching(/thrust of [\d.]+ kN at 240\.0 bar lands on the end stops, and many makers/),
    });
    expect(finding({ job: [...kind, rated] }, 'end-stops')).toMatchObject({
      grade: 'note',
      text: expect.stringContaining('by: rated for 300 bar, drawing 12'),
    });
    const held = { job: [...kind, restrained] };
    expect(finding(held, 'end-stops')).toBeUndefined();
    expect(finding(held, 'restrained-rod')).toMatchObject({ grade: 'warn' });
    // Held fully out it is full: less is mid-stroke alone.
    const volume = (job: Parameters<typeof planned>[0] & object) =>
      planned(job).figures.ports[0]?.trapped.volumeM3 ?? 0;
    const chamber = (job: Parameters<typeof planned>[0] & object) => volume(job) - 0.4e-3;
    expect(chamber(held)).toBeCloseTo(chamber({ job: [...kind, rated] }), 9);
    if (kind === telescopic) {
      const half = { job: [...kind, ['"extended"', '"mid-stroke restrained"'] as const] };
      // The first stage is out, the second in: 100 2/(100 2 + 80 2) of the oil.
      expect(chamber(half) / chamber(held)).toBeCloseTo(10 / 16.4, 9);
    }
  });

  it('a piston cylinder rests on its head at A and on its cap at B, and the hold covers those parts', () => {
    const { plan, figures, findings } = planned({ job: [portB] });
    expect(plan.ports.map(({ covers }) => covers.at(-1))).toEqual([
      'head thread or bolts, by thrust',
      'cap, by thrust',
    ]);
    const text = planLines(figures, findings, unitSystems.bar).join(' ').replaceAll('\u00a0', ' ');
    // pi/4 0.1^2 x 240 bar, and less the rod of 56 mm.
    expect(text).toContain('188 kN on the head and its thread or bolts');
    expect(text).toContain('129 kN on the cap');
    expect(finding({ job: [portB] }, 'end-stops')).toBeUndefined();
  });

  it('a rod that is held from outside may stay where the pressure would not let it', () => {
    const retracted = ['position = "extended"', 'position = "retracted"'] as const;
    expect(() => planned({ job: [retracted] })).toThrow('drives the rod out');
    const { figures } = planned({ job: [['position = "extended"', 'position = "retracted"\nrestrained = true']] });
    expect(figures.ports[0]).toMatchObject({ thrustOn: 'restraint', rodRestrained: true });
    expect(figures.ports[0]?.trapped.volumeM3).toBeCloseTo(0.4e-3, 9);
    expect(figures.ports[0]?.remarks.join(' ')).not.toContain('moves the piston away');
  });
});

describe('measures that contradict each other', () => {
  const stages = 'serial = "C-1042"\nkind = "telescopic"\nstage_bores = ["90 mm", "70 mm"]';

  it('a telescopic bore that is not the largest stage is refused', () => {
    expect(() =>
      planned({
        job: [
          ['serial = "C-1042"', stages],
          ['rod = "56 mm"\n', ''],
        ],
      }),
    ).toThrow('the bore is not that of the largest stage');
  });

  it('a single-acting telescopic cylinder has no port B', () => {
    const single = [['serial = "C-1042"', stages], ['rod = "56 mm"\n', ''], ['"100 mm"', '"90 mm"'], portB] as const;
    expect(() => planned({ job: single })).toThrow('a single-acting telescopic cylinder has no port B');
  });
});
