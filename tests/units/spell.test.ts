import { describe, expect, it } from 'vitest';
import { DwellmarkError, describePlace, spell, spellDuration, unitSystems } from '../../src/units/index.js';

/** No-break spaces as plain ones, so that the expectations below can be read. */
const inUnits = (text: string, system: keyof typeof unitSystems): string =>
  spell(text, unitSystems[system]).replaceAll('\u00a0', ' ');

describe("figures in the reader's units", () => {
  it.each([
    ['{pressure:25000000}', '250.0 bar', '3626 psi', '25.00 MPa'],
    ['{pressure:34473.8}', '0.34 bar', '5.0 psi', '0.034 MPa'],
    ['{pressure:0}', '0.0 bar', '0 psi', '0.00 MPa'],
    ['{pressure:-12}', '0.0 bar', '0 psi', '0.00 MPa'],
    ['{difference:120000}', '1.20 bar', '17.4 psi', '0.120 MPa'],
    ['{difference:-120000}', '−1.20 bar', '−17.4 psi', '−0.120 MPa'],
    ['{rate:1666.6667}', '1.00 bar/min', '14.5 psi/min', '0.100 MPa/min'],
    ['{flow:3.3333e-9}', '0.200 mL/min', '0.200 mL/min', '0.200 mL/min'],
    ['{volume:6.5449e-5}', '65.4 mL', '3.99 in³', '65.4 mL'],
    ['{temperature:293.15}', '20.0 °C', '68.0 °F', '20.0 °C'],
    ['{kelvin:5}', '5.00 K', '9.00 °F', '5.00 K'],
    ['{seconds:300}', '5 min', '5 min', '5 min'],
    ['{force:125664}', '126 kN', '28250 lbf', '126 kN'],
    ['{length:0.1}', '100 mm', '3.94 in', '100 mm'],
    ['{area:0.00785398}', '78.5 cm²', '12.2 in²', '78.5 cm²'],
    ['{energy:1200}', '1200 J', '1200 J', '1200 J'],
    ['{modulus:1500000000}', '1.50 GPa', '217557 psi', '1.50 GPa'],
    ['{expansion:0.0007}', '0.000700 /K', '0.000389 /°F', '0.000700 /K'],
    ['{thermal:1100000}', '11.0 bar/K', '88.6 psi/°F', '1.10 MPa/K'],
  ])('%s', (mark, bar, psi, megapascal) => {
    expect(inUnits(mark, 'bar')).toBe(bar);
    expect(inUnits(mark, 'psi')).toBe(psi);
    expect(inUnits(mark, 'MPa')).toBe(megapascal);
  });

  it('spells every mark of a sentence and leaves the rest alone', () => {
    expect(inUnits('fell {difference:500000} in {seconds:300} {x} {odd:1} {pressure:abc}', 'bar')).toBe(
      'fell 5.00 bar in 5 min {x} {odd:1} {pressure:abc}',
    );
  });

  it('keeps figure and unit on one line', () => {
    expect(spell('{pressure:25000000}', unitSystems.bar)).toBe('250.0\u00a0bar');
  });
});

describe('a time for a person', () => {
  it.each([
    [0, '0 s'],
    [0.04, '0 s'],
    [2.5, '2.5 s'],
    [9.97, '10 s'],
    [12, '12 s'],
    [59.7, '1 min'],
    [90, '1 min 30 s'],
    [300, '5 min'],
    [3599.6, '1 h 00 min'],
    [7199, '2 h 00 min'],
    [7500, '2 h 05 min'],
    [86400, '24 h 00 min'],
    [-90, '−1 min 30 s'],
    [Number.NaN, 'n/a'],
  ])('%d s is %s', (seconds, text) => {
    expect(spellDuration(seconds).replaceAll('\u00a0', ' ')).toBe(text);
  });
});

describe('an error for the person who must act', () => {
  it('says where: file, line, column, key', () => {
    expect(describePlace({ file: 'job.toml', line: 12, column: 5, key: 'cylinder.bore' })).toBe(
      'job.toml:12:5, cylinder.bore',
    );
    expect(describePlace({ key: 'port[1].position' })).toBe('port[1].position');
    expect(describePlace({})).toBe('');
  });

  it('keeps its cause for the one who debugs', () => {
    const cause = new Error('ENOENT');
    expect(new DwellmarkError('gauge', 'the gauge is gone', { cause }).cause).toBe(cause);
  });
});

it('a figure with its uncertainty keeps two digits of the uncertainty, and no more than that of itself', () => {
  const { bar, psi } = unitSystems;
  const fall = 'fell {difference:3070} ± {difference:12300} in {seconds:180}';
  expect(spell(fall, bar)).toBe('fell 0.03\u00a0bar ± 0.12\u00a0bar in 3\u00a0min');
  expect(spell(fall, psi)).toBe('fell 0.4\u00a0psi ± 1.8\u00a0psi in 3\u00a0min');
  const level = 'broke away at {pressure:260000} ± {difference:123000}';
  expect(spell(level, bar)).toBe('broke away at 2.6\u00a0bar ± 1.2\u00a0bar');
  expect(spell('zero {difference:7351} of ± {difference:40000}', bar)).toBe('zero 0.07\u00a0bar of ± 0.40\u00a0bar');
});
