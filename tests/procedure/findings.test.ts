import { describe, expect, it } from 'vitest';
import { spell, unitSystems } from '../../src/units/index.js';
import { planned, portB } from './sample-job.js';

type Change = Parameters<typeof planned>[0];
type Expected = readonly [grade: string, code: string, text: RegExp];

const inBar = (change: Change) =>
  planned(change).findings.map((finding) => ({ ...finding, text: spell(finding.text, unitSystems.bar) }));

const at160: readonly [string, string] = ['"1.5 x rated"', '"1 x rated"'];
const blocked: readonly [string, string] = ['opposite = "open"', 'opposite = "blocked"'];

/** A gauge that suits its test, in calibration, and a relief where it is wanted: nothing but notes. */
const cases: readonly [string, Change, Expected][] = [
  [
    'a 100/56 cylinder with B blocked at 160 bar sees 233 bar',
    { job: [blocked], procedure: [at160] },
    [
      'stop',
      'intensification',
      /160\.0.bar at A makes up to 233\.1.bar at the closed port B .*rated pressure of 160\.0.bar/,
    ],
  ],
  [
    'a gauge on the closed port does not make it any less',
    { job: [['opposite = "open"', 'opposite = "gauge"']], procedure: [at160] },
    ['stop', 'intensification', /233\.1.bar/],
  ],
  [
    'a low stage behind a blocked port stays within the rated pressure',
    { job: [blocked], procedure: [['"1.5 x rated"', '"100 bar"']] },
    ['note', 'intensification', /145\.7.bar.*within/],
  ],
  [
    'from B to A pressure is divided, not multiplied',
    {
      job: [
        [
          'name = "A"\nposition = "extended"\nopposite = "open"',
          'name = "B"\nposition = "retracted"\nopposite = "blocked"',
        ],
      ],
      procedure: [at160],
    },
    ['note', 'intensification', /109\.8.bar at the closed port A/],
  ],
  [
    'bottomed and blocked claims nothing of the piston seal',
    { job: [blocked], procedure: [at160] },
    ['warn', 'piston-seal-hidden', /claim nothing about the piston seal/],
  ],
  [
    'mid-stroke and blocked does not show it without a gauge',
    { job: [blocked, ['"extended"', '"mid-stroke restrained"']], procedure: [at160] },
    ['warn', 'piston-seal-hidden', /both chambers move together/],
  ],
  [
    'twice the rated pressure is unusual',
    { procedure: [['"1.5 x rated"', '"2 x rated"']] },
    [
      'warn',
      'above-proof',
      /320\.0.bar is 2 times the rated 160\.0.bar; more than 1\.5 times is unusual \(our own rule, no standard\)/,
    ],
  ],
  [
    'more than twice the rated pressure is seldom meant',
    { procedure: [['"1.5 x rated"', '"2.1 x rated"']] },
    [
      'warn',
      'above-proof',
      /336\.0.bar is 2\.1 times the rated 160\.0.bar; more than 2 times is seldom meant \(our own rule.* slip of units/,
    ],
  ],
  [
    'more than the cylinder may be tested with is stopped',
    {
      job: [['rated_pressure = "160 bar"', 'rated_pressure = "160 bar"\ntest_pressure_max = "230 bar"']],
    },
    [
      'stop',
      'above-proof',
      /240\.0.bar is 1\.5 times .* may be tested up to 230\.0.bar \(job: cylinder\.test_pressure_max\)/,
    ],
  ],
  [
    'a restrained rod bears pressure times area',
    { job: [['"extended"', '"mid-stroke restrained"']], procedure: [at160] },
    ['warn', 'restrained-rod', /126.kN at 160\.0.bar/],
  ],
  ['every hold names its stored energy', {}, ['note', 'stored-energy', /stores 882.J/]],
  [
    'a relief above the weakest part',
    { job: [['relief = "250 bar"', 'relief = "250 bar"\nweakest_part = "245 bar"']] },
    [
      'stop',
      'relief-above-weakest',
      /valve opens at 250\.0.bar, above the weakest part of the bench, rated 245\.0.bar/,
    ],
  ],
  [
    'a hose too weak for the test',
    { job: [['relief = "250 bar"', 'weakest_part = "210 bar"']] },
    ['stop', 'weakest-part', /240\.0.bar is above .*210\.0.bar/],
  ],
  [
    'no relief is wanted above what the bench bears',
    { job: [['relief = "250 bar"', 'weakest_part = "245 bar"']] },
    ['note', 'relief-not-stated', /Set it to about 245\.0.bar/],
  ],
  [
    'nor above what the cylinder may be tested with',
    {
      job: [
        ['relief = "250 bar"\n', ''],
        ['rated_pressure = "160 bar"', 'rated_pressure = "160 bar"\ntest_pressure_max = "242 bar"'],
      ],
    },
    ['note', 'relief-not-stated', /Set it to about 242\.0.bar/],
  ],
  [
    'a hose that a booster without a relief bursts',
    {
      job: [['relief = "250 bar"', 'booster_ratio = 50\nbooster_air = "5 bar"\nhose = "245 bar"']],
    },
    [
      'stop',
      'relief-above-weakest',
      /booster stalls at 250\.0.bar, above the hose, rated 245\.0.bar \(job: bench\.hose\)/,
    ],
  ],
  [
    'a booster that stalls above the maximum, with no relief',
    { job: [['relief = "250 bar"', 'booster_ratio = 60\nbooster_air = "6 bar"']] },
    [
      'stop',
      'relief-high',
      /booster stalls at 360\.0.bar, above the maximum during this test, 254\.4.bar, and no relief/,
    ],
  ],
  [
    'a bench that does not reach the test pressure',
    { job: [['relief = "250 bar"', 'relief = "250 bar"\npump_pressure = "180 bar"']] },
    ['warn', 'test-pressure-not-reached', /pump ends at 180\.0.bar, below the test pressure of 240\.0.bar/],
  ],
  [
    'a restraint that the thrust at the relief setting breaks',
    {
      job: [
        ['relief = "250 bar"', 'relief = "250 bar"\nrod_end = "190 kN"'],
        ['"extended"', '"mid-stroke restrained"'],
      ],
    },
    // 0.1 m bore: 188.5 kN at 240 bar, 196.3 kN at 250 bar.
    ['stop', 'rod-end', /bears 190.kN \(job: bench\.rod_end\), and up to 196.kN can come/],
  ],
  [
    'a rod side that is rated lower is tested by its own rating',
    {
      job: [
        [
          'name = "A"\nposition = "extended"',
          'name = "B"\nrated_pressure = "100 bar"\nrelief = "155 bar"\nposition = "retracted"',
        ],
        ['range = "0..400 bar"', 'range = "0..250 bar"'],
      ],
      procedure: [
        ['"1.5 x rated"', '"2.1 x rated"'],
        ['overpressure = "106 %"', 'overpressure = "101 %"'],
      ],
    },
    ['warn', 'above-proof', /210\.0.bar is 2\.1 times the rated 100\.0.bar/],
  ],
  [
    'and a closed port bears what it is rated for itself',
    {
      job: [
        blocked,
        [
          '[[port]]',
          '[[port]]\nname = "B"\nposition = "retracted"\nopposite = "open"\nrated_pressure = "100 bar"\n\n[[port]]',
        ],
      ],
      procedure: [['"1.5 x rated"', '"80 bar"']],
    },
    ['stop', 'intensification', /116\.6.bar at the closed port B .*above the rated pressure of 100\.0.bar there/],
  ],
  [
    'a relief that opens before the test pressure',
    { job: [['250 bar', '200 bar']] },
    ['warn', 'relief-low', /200\.0.bar opens before the test pressure of 240\.0.bar/],
  ],
  [
    'a relief left high',
    { job: [['250 bar', '255 bar']] },
    [
      'stop',
      'relief-high',
      /255\.0.bar opens above the maximum during this test, 254\.4.bar\. Set it to about 254\.4.bar/,
    ],
  ],
  ['a relief not stated', { job: [['relief = "250 bar"\n', '']] }, ['note', 'relief-not-stated', /about 254\.4.bar/]],
  [
    'a 0-400 bar gauge for a 30 bar test',
    { procedure: [['"1.5 x rated"', '"30 bar"']] },
    [
      'warn',
      'gauge-range',
      /400\.0.bar is 13\.3 times the pressure of 30\.0.bar; 1\.5 to 4 times is wanted, 45\.0.bar to 120\.0.bar \(ASME VIII-1 UG-102, for dial gauges\)/,
    ],
  ],
  [
    'a gauge that is passed',
    { job: [['0..400', '0..200']] },
    ['stop', 'gauge-range', /240\.0.bar is beyond the gauge's full scale of 200\.0.bar/],
  ],
  [
    'a gauge only just enough',
    { job: [['0..400', '0..250']] },
    ['warn', 'gauge-headroom', /ends at 250\.0.bar, below the overpressure limit of 254\.4.bar/],
  ],
  [
    'a gauge worked above three quarters of its scale',
    { job: [['0..400', '0..280']] },
    [
      'warn',
      'gauge-range',
      /1\.17 times.*85\.7 % of the scale; a quarter to three quarters is wanted \(UFC 4-390-01\)/,
    ],
  ],
  [
    'a gauge worked at 70 % of its scale',
    { job: [['0..400', '0..342']] },
    [
      'warn',
      'gauge-range',
      /1\.43 times the pressure of 240\.0.bar; 1\.5 to 4 times is wanted, 360\.0.bar to 960\.0.bar \(ASME VIII-1 UG-102, for dial gauges\)\.$/,
    ],
  ],
  [
    'a coarse class',
    { job: [['0.25 %FS', 'class 1.6']] },
    ['warn', 'gauge-class', /1\.6 % of full scale; 1 % is wanted \(UFC 4-390-01\)/],
  ],
  [
    'a 10 bar step for a 2 bar limit',
    { job: [['"0.1 bar"', '"10 bar"']], procedure: [['drop = "2 %"', 'drop = "2 bar"']] },
    ['stop', 'gauge-resolution', /steps of 10\.0.bar, and the allowed decay is 2\.00.bar/],
  ],
  [
    'a step of more than a tenth of the limit',
    { job: [['"0.1 bar"', '"1 bar"']] },
    ['warn', 'gauge-resolution', /more than a tenth/],
  ],
  [
    'a gauge out of calibration',
    { demand: { on: '2027-03-20' } },
    ['stop', 'calibration-expired', /CAL-0311 was due 2027-03-14, 6 days before 2027-03-20/],
  ],
  ['a calibration that ends soon', { demand: { on: '2027-03-01' } }, ['note', 'calibration-due', /in 13 days/]],
  [
    'a calibration with corrections',
    { job: [['due = 2027-03-14', 'due = 2027-03-14\ncorrections = [{ at = "200 bar", add = "-0.4 bar" }]']] },
    ['note', 'calibration-corrections', /corrected as calibration CAL-0311 states \(by up to 0\.400.bar\)/],
  ],
  [
    'a test before the calibration',
    { demand: { on: '2026-03-01' } },
    ['warn', 'calibration-later', /dated 2026-03-14, after 2026-03-01/],
  ],
  [
    'a gauge whose class is wider than the start band',
    { job: [['0.25 %FS', 'class 1']], procedure: [['below    = "2 %"', 'below    = "1 %"']] },
    ['note', 'gauge-level', /good to 4\.00.bar, wider than the 2\.40.bar/],
  ],
  [
    'a dwell too short for its leak limit',
    {
      procedure: [
        ['drop = "2 %"', 'leak = "0.05 mL/min"'],
        ['"5 min"', '"1 min"'],
      ],
    },
    [
      'stop',
      'limit-below-resolution',
      /0\.0500.mL\/min, 0\.175.bar, over 1.min; this dwell resolves 1\.07.bar.*can never give a pass\. It needs a dwell of 12.min/,
    ],
  ],
  [
    'a dwell that is barely long enough',
    { procedure: [['drop = "2 %"', 'leak = "0.1 mL/min"']] },
    ['warn', 'limit-near-resolution', /It needs a dwell of 6.min \d.s, or the oil temperature logged/],
  ],
  ['a bench that does not say what it pumps', {}, ['warn', 'cylinder-not-provable', /a shut valve .* will not show/]],
  [
    'a settling limit tighter than the allowed decay, where the plain drop is judged',
    {
      procedure: [
        ['rate = "1.5 bar/min"', 'rate = "0.5 bar/min"'],
        ['decision = "guarded"', 'decision = "guarded"\njudge = "plain drop"'],
      ],
    },
    ['warn', 'settle-limit-below-decay', /below 0\.500.bar\/min, but 0\.960.bar\/min is allowed.*never settles/],
  ],
  [
    'a limit that only a logged temperature can save',
    { procedure: [['drop = "2 %"', 'drop = "1 bar"']] },
    ['stop', 'limit-below-resolution', /unknown to within 0\.100.K does this: log it/],
  ],
  [
    'a limit that this gauge can not judge at all',
    { job: [['"0.1 bar"', '"0.5 bar"']], procedure: [['drop = "2 %"', 'drop = "0.6 bar"']] },
    ['stop', 'limit-below-resolution', /finer steps/],
  ],
  ['oil that cools looks like a leak', {}, ['note', 'temperature', /cools by 0\.524.K .* 4\.80.bar \(9\.15.bar\/K\)/]],
  [
    'quick pumping warms the oil',
    {},
    ['note', 'heat-of-compression', /warms by 2\.9\d.K, and falls by up to 28\.7.bar/],
  ],
  ['a port that the procedure wants held', { template: 'pump-then-booster' }, ['warn', 'port-missing', /leaves out B/]],
  [
    'ports in the wrong order',
    {
      template: 'pump-then-booster',
      job: [['[[port]]', '[[port]]\nname = "B"\nposition = "retracted"\nopposite = "open"\n\n[[port]]']],
    },
    ['warn', 'port-order', /A then B; the job has them as B then A/],
  ],
  [
    'example figures are no limits',
    { template: 'customer-limit' },
    ['warn', 'limit-without-author', /example figures/],
  ],
  [
    "the shop's own procedure",
    { demand: { asShipped: false } },
    ['note', 'procedure-own', /limits are by: Proof pressure/],
  ],
  [
    'one trapped volume for both ports',
    { job: [portB, ['[bench]', '[trapped]\nvolume = "4.3 L"\n\n[bench]']] },
    ['warn', 'trapped-shared', /trapped_volume/],
  ],
  ['no line volume', { job: [['line_volume = "0.4 L"\n', '']] }, ['note', 'line-volume-not-stated', /no line volume/]],
  [
    'a procedure in psi for a gauge in bar',
    { template: 'customer-limit' },
    ['note', 'two-units', /shows bar, the procedure says "3000 psi"/],
  ],
];

describe('what speaks against a test', () => {
  it.each(cases)('%s', (_, change, [grade, code, text]) => {
    const found = inBar(change).filter((finding) => finding.code === code);
    expect(found).not.toEqual([]);
    expect(found[0]).toMatchObject({ grade, text: expect.stringMatching(text) });
  });

  it('a job in order gets notes only', () => {
    const whole = inBar({ job: [['relief = "250 bar"', 'relief = "250 bar"\npump_flow = "60 mL/min"']] });
    expect(whole.filter(({ grade }) => grade !== 'note')).toEqual([]);
  });

  it('the gravest stand first', () => {
    const grades = inBar({ job: [blocked, ['relief = "250 bar"\n', '']], procedure: [at160] }).map(
      ({ grade }) => grade,
    );
    expect(grades).toEqual([...grades].sort((a, b) => order.indexOf(a) - order.indexOf(b)));
    expect(new Set(grades)).toEqual(new Set(order));
  });

  it('a job without a calibration gets a warning whatever the date', () => {
    const found = inBar({
      job: [
        [
          '[gauge.calibration]\ncertificate = "CAL-0311"\nlaboratory = "Ullock Calibration"\ndate = 2026-03-14\ndue = 2027-03-14\n',
          '',
        ],
      ],
    });
    expect(found.find(({ code }) => code === 'calibration-missing')?.grade).toBe('warn');
  });

  it('an open port has no intensification', () =>
    expect(inBar({ procedure: [at160] }).map(({ code }) => code)).not.toContain('intensification'));

  it('no figure is left unspelled in any text', () => {
    for (const [, change] of cases)
      for (const { text } of inBar(change)) expect(text).not.toMatch(/[{}]|NaN|undefined/);
  });
});

const order = ['stop', 'warn', 'note'];
