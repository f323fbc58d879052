import { describe, expect, it } from 'vitest';
import { parseAccuracy, readGauge, readProcedure } from '../../src/procedure/index.js';
import { parseLevel } from '../../src/procedure/reading/level.js';
import { procedureDefaults } from '../../src/procedure/reading/load-procedure.js';
import { DwellmarkError } from '../../src/units/index.js';
import { changed, lineOf } from './sample-job.js';

/** As short as a procedure can be: everything else has a default. */
const shortest = `id = "short"
title = "Short hold"
revision = "A"
source = "the shop's own rule"

[[stage]]
name = "low"
target = "25 % of test"
dwell = "1 min"
allowed_decay = { rate = "0.5 bar/min" }

[[stage]]
name = "proof"
target = "1.5 x rated"
dwell = "5 min"
allowed_decay = { drop = "2 %", leak = "0.2 mL/min", source = "order 4711" }
`;

const read = (...changes: (readonly [string, string])[]) =>
  readProcedure(changed(shortest, changes), { file: 'short.toml' });

describe('a procedure file', () => {
  it('gets the documented defaults where it says nothing', () => {
    const procedure = read();
    expect(procedure).toMatchObject({
      subject: 'cylinder',
      ports: [],
      attempts: 3,
      dropsPerMl: 20,
      bleedDown: { belowPa: 2e5, forS: 10 },
      limits: {
        overpressure: { of: 'test', fraction: 1.06 },
        opposite: null,
        zeroPa: null,
        unmeasuredTemperatureK: null,
      },
    });
    expect(procedure.stages[1]).toMatchObject({
      below: { of: 'target', fraction: 0.02 },
      above: { of: 'target', fraction: 0.05 },
      voidAbove: null,
      neverBelow: null,
      rampMaxPaPerS: 10e5,
      stabilise: procedureDefaults.stabilise,
      decision: 'guarded',
      judge: 'leak',
      look: [],
    });
  });

  it('keeps several limits, each with its source', () => {
    const [low, proof] = read().stages;
    expect(low?.allowed).toEqual([{ kind: 'rate', ratePaPerS: 0.5e5 / 60, source: "the shop's own rule" }]);
    expect(proof?.allowed.map(({ kind, source }) => `${kind}: ${source}`)).toEqual([
      'percent: order 4711',
      'leak: order 4711',
    ]);
    expect(read(['"2 %"', '"5 bar"']).stages[1]?.allowed[0]).toMatchObject({ kind: 'drop', dropPa: 5e5 });
  });

  it('judges the loss by leaks, or the plain drop where a stage says so', () => {
    const [low, proof] = read(['dwell = "1 min"', 'dwell = "1 min"\njudge = "plain drop"']).stages;
    expect([low?.judge, proof?.judge]).toEqual(['plain drop', 'leak']);
    expect(() => read(['dwell = "1 min"', 'dwell = "1 min"\njudge = "drop"'])).toThrow(DwellmarkError);
  });

  it('reads the low-pressure rule of 30 CFR 250.448', () => {
    const [low] = read([
      '"25 % of test"',
      '"250 psi"\nbelow = "50 psi"\nabove = "50 psi"\nvoid_above = "500 psi"',
    ]).stages;
    expect(low?.voidAbove).toMatchObject({ of: 'itself' });
    expect(low?.voidAbove?.of === 'itself' && low.voidAbove.pa).toBeCloseTo(3_447_378.6, 0);
  });
});

const refused: readonly [string, (readonly [string, string])[], string, string, RegExp][] = [
  ['a mistyped key', [['dwell = "5 min"', 'dwel = "5 min"']], 'stage[2].dwel', 'dwel =', /unknown key "dwel"/],
  [
    'a stage without a limit',
    [['{ rate = "0.5 bar/min" }', '{ }']],
    'stage[1].allowed_decay',
    'allowed_decay',
    /no limit/,
  ],
  ['a limit without a unit', [['"0.2 mL/min"', '"0.2"']], 'stage[2].allowed_decay.leak', 'leak', /no unit/],
  ['a limit of everything', [['"2 %"', '"100 %"']], 'stage[2].allowed_decay.drop', 'drop', /all the pressure/],
  [
    'a percentage of nothing named',
    [['"25 % of test"', '"25 %"']],
    'stage[1].target',
    'target',
    /does not say of what/,
  ],
  ['a target of itself', [['"25 % of test"', '"25 % of target"']], 'stage[1].target', 'target', /refers to itself/],
  [
    'a target in no known words',
    [['"1.5 x rated"', '"rated x 1.5"']],
    'stage[2].target',
    'target = "rated',
    /not a pressure level/,
  ],
  ['a target of nothing', [['"1.5 x rated"', '"0 bar"']], 'stage[2].target', 'target = "0', /more than zero/],
  [
    'nothing that sets the test pressure',
    [['"1.5 x rated"', '"80 % of test"']],
    'stage[1].target',
    'target',
    /nothing sets the test pressure/,
  ],
  [
    'a share above the whole',
    [['"25 % of test"', '"125 % of test"']],
    'stage[1].target',
    'target',
    /above the test pressure/,
  ],
  ['a stage name twice', [['"proof"', '"low"']], 'stage[2].name', 'name = "low"\ntarget = "1.5', /stands twice/],
  [
    'giving up too early',
    [['dwell = "5 min"', 'dwell = "5 min"\nstabilise = { for = "15 min" }']],
    'stage[2].stabilise.give_up_after',
    'stabilise',
    /gives up before/,
  ],
  ['a dwell of zero', [['"5 min"', '"0 s"']], 'stage[2].dwell', 'dwell = "0', /more than zero/],
  [
    'a decision rule that is none',
    [['dwell = "5 min"', 'dwell = "5 min"\ndecision = "guard"']],
    'stage[2].decision',
    'decision',
    /not a known decision/,
  ],
  ['no source', [['source = "the shop\'s own rule"\n', '']], 'source', '', /"source" is missing/],
  ['an id with capitals', [['"short"', '"Short"']], 'id', 'id =', /lower-case/],
];

describe('a procedure that is refused', () => {
  it.each(refused)('%s', (_, changes, key, atText, message) => {
    const text = changed(shortest, changes);
    let error: unknown;
    try {
      readProcedure(text, { file: 'short.toml' });
    } catch (thrown) {
      error = thrown;
    }
    if (!(error instanceof DwellmarkError)) throw new Error(`not refused: ${String(error)}`);
    expect(error.message).toMatch(message);
    const line = atText === '' ? {} : { line: lineOf(text, atText) };
    expect(error.place).toEqual({ file: 'short.toml', key, ...line });
  });
});

describe('levels and accuracies', () => {
  it.each([
    ['1.5 x rated', { of: 'rated', fraction: 1.5 }],
    ['1.25 × rated', { of: 'rated', fraction: 1.25 }],
    ['25 % of test', { of: 'test', fraction: 0.25 }],
    ['106 %', { of: 'test', fraction: 1.06 }],
    ['90 % of rated', { of: 'rated', fraction: 0.9 }],
    ['5 bar', { of: 'itself', pa: 5e5 }],
  ])('%s', (text, level) => expect(parseLevel(text, 'test')).toEqual({ ...level, text }));

  it.each([
    ['0.25 %FS', { ofSpan: 0.0025 }],
    ['± 0.5 % FS', { ofSpan: 0.005 }],
    ['class 0.6', { ofSpan: 0.006 }],
    ['1 bar', { pa: 1e5 }],
  ])('%s', (text, accuracy) => expect(parseAccuracy(text)).toEqual(accuracy));

  it.each([
    ['0,25 %FS', /decimal comma/],
    ['0.25 %', /does not say of what/],
    ['-1 bar', /negative/],
  ])('%s is refused', (text, says) => expect(() => parseAccuracy(text)).toThrowError(says));

  it('a gauge from plain fields; an accuracy in bar is turned into a share of the span', () => {
    const gauge = readGauge({ serial: 'P7', range: '-1..400 bar', resolution: '0.1 bar', accuracy: '1 bar' });
    expect(gauge.accuracyOfSpan).toBeCloseTo(1 / 401, 12);
  });

  it('a gauge field that is wrong is named', () =>
    expect(() => readGauge({ serial: 'P7', range: '0..400', resolution: '0.1 bar', accuracy: '1 bar' })).toThrowError(
      expect.objectContaining({ place: { key: 'range' } }),
    ));
});
