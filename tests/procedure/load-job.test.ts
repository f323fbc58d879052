import { describe, expect, it } from 'vitest';
import { readJob } from '../../src/procedure/index.js';
import { DwellmarkError } from '../../src/units/index.js';
import { changed, jobText, lineOf, portB } from './sample-job.js';

const read = (...changes: (readonly [string, string])[]) => readJob(changed(jobText, changes), { file: 'job.toml' });

function refusalOf(text: string): DwellmarkError {
  try {
    readJob(text, { file: 'job.toml' });
  } catch (error) {
    if (error instanceof DwellmarkError) return error;
    throw error;
  }
  throw new Error('the job was not refused');
}

describe('a job file', () => {
  it('reads in SI', () => {
    const job = read(portB);
    expect(job.cylinder).toMatchObject({
      kind: 'double-acting',
      boreM: 0.1,
      rodM: 0.056,
      strokeM: 0.5,
      ratedPressurePa: 160e5,
      barrelOutsideM: 0.12,
      serial: 'C-1042',
    });
    expect(job.ports).toEqual([
      { port: 'A', position: 'extended', opposite: 'open', lineVolumeM3: 0.4e-3 },
      { port: 'B', position: 'retracted', opposite: 'open', lineVolumeM3: 0.4e-3 },
    ]);
    expect(job.gauge).toMatchObject({
      kind: 'stated',
      spec: { rangeHighPa: 400e5, resolutionPa: 1e4, accuracyOfSpan: 0.0025, unit: 'bar' },
    });
    expect(job.gauge).toMatchObject({ spec: { calibration: { date: '2026-03-14', due: '2027-03-14' } } });
    expect(job.bench.reliefPa).toBe(250e5);
    expect(job).toMatchObject({ condition: '', received: null, units: null });
  });

  it('names a gauge of the shop', () => {
    const start = jobText.indexOf('[gauge]');
    const end = jobText.indexOf('[cylinder]');
    const named = `${jobText.slice(0, start)}gauge = "SN 9"\n${jobText.slice(end)}`;
    expect(readJob(named, { file: 'job.toml' }).gauge).toEqual({ kind: 'known', serial: 'SN 9' });
  });

  it('takes everything optional', () => {
    const job = read(
      [
        'procedure = ',
        'condition = "rod scratched"\nreceived = 2026-11-20\nunits = "psi"\noil_temperature_change = "0.2 K"\nprocedure = ',
      ],
      ['kind = "ISO VG 46"', 'bulk_modulus = "1.5 GPa"\nexpansion = "6.0e-4 /K"\nair = "0.5 %"'],
      [
        'relief = "250 bar"',
        'relief = "250 bar"\nweakest_part = "350 bar"\npump_flow = "2 L/min"\nbooster_stroke = "9 mL"',
      ],
      ['line_volume = "0.4 L"', 'line_volume = "0.4 L"\nline_stiffness = "2 GPa"\ntrapped_volume = "4.3 L"'],
      ['[bench]', '[trapped]\nvolume = "4.3 L"\nbulk_modulus = "1.4 GPa"\n\n[bench]'],
    );
    expect(job).toMatchObject({
      condition: 'rod scratched',
      received: '2026-11-20',
      units: 'psi',
      unmeasuredTemperatureK: 0.2,
      airFraction: 0.005,
      fluid: { bulkModulusPa: 1.5e9, expansionPerK: 6e-4 },
      bench: { weakestPartPa: 350e5, boosterStrokeM3: 9e-6 },
      trapped: { volumeM3: 4.3e-3, bulkModulusPa: 1.4e9 },
    });
    expect(job.bench.pumpFlowM3PerS).toBeCloseTo(2e-3 / 60, 12);
    expect(job.ports[0]).toMatchObject({ lineStiffnessPa: 2e9, trappedVolumeM3: 4.3e-3 });
  });

  it('a plunger needs no rod and no opposite port', () => {
    const job = read(['rod = "56 mm"\n', 'kind = "plunger"\n'], ['opposite = "open"\n', '']);
    expect(job.cylinder).toMatchObject({ kind: 'plunger', rodM: 0 });
    expect(job.ports[0]?.opposite).toBe('open');
  });

  it('a telescopic cylinder lists its stages', () => {
    const job = read(['bore = "100 mm"', 'kind = "telescopic"\nbore = "100 mm"\nstage_bores = ["100 mm", "80 mm"]']);
    expect(job.cylinder.stageBoresM).toEqual([0.1, 0.08]);
  });
});

/** What is wrong, the key it is reported at, the text whose line it is reported on, and what it says. */
const refused: readonly [string, (readonly [string, string])[], string, string, RegExp, RegExp?][] = [
  ['an unknown key', [['rod =', 'rodd =']], 'cylinder.rodd', 'rodd =', /unknown key "rodd"/, /Did you mean "rod"\?/],
  ['an unknown table', [['[[port]]', '[[ports]]']], 'ports', '[[ports]]', /unknown key "ports"/, /"port"/],
  [
    'an unknown key that resembles none',
    [['rod =', 'xyzzy = 1\nrod =']],
    'cylinder.xyzzy',
    'xyzzy',
    /unknown/,
    /Known here: serial/,
  ],
  [
    'a rod as thick as the bore',
    [['"56 mm"', '"100 mm"']],
    'cylinder.rod',
    'rod =',
    /rod is not thinner than the bore \(bore 100 mm; rod 100 mm\)/,
  ],
  ['a rod thicker than the bore, by its unit', [['"56 mm"', '"56 in"']], 'cylinder.rod', 'rod =', /not thinner/],
  ['no rod on a double-acting cylinder', [['rod = "56 mm"\n', '']], 'cylinder.rod', '[cylinder]', /"rod" is missing/],
  ['a stroke of zero', [['"500 mm"', '"0 mm"']], 'cylinder.stroke', 'stroke', /more than zero/],
  ['a negative bore', [['"100 mm"', '"-100 mm"']], 'cylinder.bore', 'bore', /more than zero/],
  [
    'no rated pressure',
    [['rated_pressure = "160 bar"\n', '']],
    'cylinder.rated_pressure',
    '[cylinder]',
    /"rated_pressure" is missing/,
    /rated_pressure = "160 bar"/,
  ],
  ['a number without quotes', [['"100 mm"', '100']], 'cylinder.bore', 'bore', /bare number 100/, /bore = "100 mm"/],
  ['a number without a unit', [['"500 mm"', '"500"']], 'cylinder.stroke', 'stroke', /"500" has no unit/],
  ['a volume in bar', [['"0.4 L"', '"0.4 bar"']], 'port[1].line_volume', 'line_volume', /not one of volume/],
  ['a barrel thinner than its bore', [['"120 mm"', '"90 mm"']], 'cylinder.barrel_outside', 'barrel_outside', /barrel/],
  [
    'an unknown fluid',
    [['ISO VG 46', 'ISO VG 47']],
    'fluid.kind',
    'ISO VG 47',
    /fluid "ISO VG 47" is not known/,
    /Did you mean "ISO VG 46"/,
  ],
  [
    'a fluid neither named nor described',
    [['kind = "ISO VG 46"\n', '']],
    'fluid',
    '[fluid]',
    /neither named nor described/,
  ],
  ['foam', [['kind = "ISO VG 46"', 'kind = "ISO VG 46"\nair = "40 %"']], 'fluid.air', 'air =', /foam/],
  [
    'an unknown cylinder kind',
    [['bore =', 'kind = "double-actin"\nbore =']],
    'cylinder.kind',
    'kind = "double',
    /not a known kind/,
    /"double-acting"/,
  ],
  ['a third port', [['name = "A"', 'name = "C"']], 'port[1].name', 'name = "C"', /"C" is not a known name/, /A, B/],
  [
    'a port twice',
    [['"0.4 L"\n', '"0.4 L"\n[[port]]\nname = "A" # again\nposition = "extended"\nopposite = "open"\n']],
    'port[2].name',
    'name = "A" # again',
    /stands in this job twice/,
  ],
  [
    'pressure at A with the rod retracted',
    [['"extended"', '"retracted"']],
    'port[1].position',
    'position',
    /drives the rod out/,
  ],
  [
    'pressure at B with the rod extended',
    [['name = "A"', 'name = "B"']],
    'port[1].position',
    'position',
    /draws the rod in/,
  ],
  [
    'port B of a plunger',
    [
      ['rod = "56 mm"', 'kind = "plunger"'],
      ['name = "A"', 'name = "B"'],
    ],
    'port[1].name',
    'name = "B"',
    /port A only/,
  ],
  [
    'a plunger with a blocked opposite port',
    [
      ['rod = "56 mm"', 'kind = "plunger"'],
      ['"open"', '"blocked"'],
    ],
    'port[1].opposite',
    'opposite',
    /no opposite port/,
  ],
  [
    'a plugged breather',
    [
      ['rod =', 'kind = "single-acting"\nrod ='],
      ['"open"', '"blocked"'],
    ],
    'port[1].opposite',
    'opposite',
    /breather/,
  ],
  [
    'nothing said of the opposite port',
    [['opposite = "open"\n', '']],
    'port[1].opposite',
    '[[port]]',
    /"opposite" is missing/,
  ],
  [
    'stages on a double-acting cylinder',
    [['bore =', 'stage_bores = ["100 mm", "80 mm"]\nbore =']],
    'cylinder.stage_bores',
    'stage_bores',
    /has no stages/,
  ],
  [
    'a telescopic cylinder without stages',
    [['bore =', 'kind = "telescopic"\nbore =']],
    'cylinder.stage_bores',
    '[cylinder]',
    /"stage_bores" is missing/,
  ],
  [
    'stages smallest first',
    [['bore =', 'kind = "telescopic"\nstage_bores = ["80 mm", "100 mm"]\nbore =']],
    'cylinder.stage_bores',
    'stage_bores',
    /largest first/,
  ],
  ['a range without a unit', [['0..400 bar', '0..400']], 'gauge.range', 'range', /no unit/, /0\.\.400 bar/],
  ['a range that runs down', [['0..400 bar', '400..0 bar']], 'gauge.range', 'range', /upwards/],
  ['a percentage of nothing', [['0.25 %FS', '0.25 %']], 'gauge.accuracy', 'accuracy', /of what/, /%FS/],
  ['a psi step on a bar range', [['"0.1 bar"', '"1 psi"']], 'gauge.resolution', 'resolution', /one unit/],
  [
    'a resolution of a fifth of the range',
    [['"0.1 bar"', '"80 bar"']],
    'gauge.resolution',
    'resolution',
    /does not fit/,
  ],
  [
    'a calibration due before it was made',
    [['due = 2027-03-14', 'due = 2025-03-14']],
    'gauge.calibration',
    '[gauge.calibration]',
    /before it was made/,
  ],
  ['a date that is none', [['due = 2027-03-14', 'due = "14.3.2027"']], 'gauge.calibration.due', 'due', /not a date/],
  ['an unknown unit system', [['procedure =', 'units = "inch"\nprocedure =']], 'units', 'units', /not a known units/],
  ['an empty work order', [['"WO-2207"', '" "']], 'work_order', 'work_order', /empty/],
  [
    'a bell in a serial number',
    [['"C-1042"', '"C-\\u00071042"']],
    'cylinder.serial',
    'serial = "C-',
    /"serial" has the control character U\+0007 in it/,
    /Take it out/,
  ],
  [
    'a sign that turns the direction of writing',
    [['"WO-2207"', '"WO-\\u202e2207"']],
    'work_order',
    'work_order',
    /U\+202E/,
  ],
  [
    'a serial number in two lines',
    [['"C-1042"', '"C-\\n1042"']],
    'cylinder.serial',
    'serial = "C-',
    /more than one line/,
  ],
];

describe('a job that is refused', () => {
  it.each(refused)('%s', (_, changes, key, atText, message, advice) => {
    const text = changed(jobText, changes);
    const error = refusalOf(text);
    expect(error.code).toBe('input');
    expect(error.message).toMatch(message);
    expect(error.place).toEqual({ file: 'job.toml', line: lineOf(text, atText), key });
    if (advice) expect(error.advice).toMatch(advice);
    expect(`${error.message}\n${error.advice ?? ''}`.split('\n').length).toBeLessThanOrEqual(3);
  });

  it('no TOML: file, line and column', () => {
    const error = refusalOf(changed(jobText, [['customer =', 'customer = =']]));
    expect(error.place).toEqual({ file: 'job.toml', line: 2, column: 12 });
    expect(error.message).toBe('not readable as TOML: invalid value');
  });

  it('a key twice', () => {
    const error = refusalOf(changed(jobText, [['rod = "56 mm"', 'rod = "56 mm"\nrod = "57 mm"']]));
    expect(error.place.line).toBe(lineOf(jobText, 'rod =') + 1);
  });

  it('several troubles: the first, and the others beside it, each with its place', () => {
    const text = changed(jobText, [
      ['"100 mm"', '100'],
      ['"500 mm"', '"500"'],
    ]);
    const { message, others } = refusalOf(text);
    expect(message).toBe('"bore" is the bare number 100');
    expect(others.map(({ place }) => place)).toEqual([
      { file: 'job.toml', line: lineOf(text, '"500"'), key: 'cylinder.stroke' },
    ]);
  });

  it('a port in single brackets', () => {
    const error = refusalOf(changed(jobText, [['[[port]]', '[port]']]));
    expect(error.message).toBe('"port" is one table where a list of them belongs');
    expect(error.place).toEqual({ file: 'job.toml', line: lineOf(jobText, '[[port]]'), key: 'port' });
    expect(error.advice).toBe('Write a [[port]] table.');
  });

  it('a table that is missing altogether', () => {
    const error = refusalOf(jobText.slice(0, jobText.indexOf('[cylinder]')));
    expect(error.message).toBe('"cylinder" is missing');
    expect(error.others.map(({ message }) => message)).toEqual(['"fluid" is missing', '"port" is missing']);
    expect(error.advice).toBe('Write a [cylinder] table.');
  });

  it('an empty file says what it lacks', () => expect(refusalOf('').message).toMatch(/"work_order" is missing/));
});
