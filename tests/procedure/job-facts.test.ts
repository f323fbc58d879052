import { describe, expect, it } from 'vitest';
import { namedFacts, readJob } from '../../src/procedure/index.js';
import { DwellmarkError } from '../../src/units/index.js';
import { changed, jobText } from './sample-job.js';

const facts: readonly (readonly [string, string])[] = [
  ['procedure = ', 'purpose = "after repair"\norder = "PO 88120"\nwork_done = "resealed, rod polished"\nprocedure = '],
  [
    'serial = "C-1042"',
    'serial = "C-1042"\npart = "PN 20-4471"\nasset = "EX-07"\nplace = "boom, left"\nseal_kit = "SK 100/56"\nsensor = "PS-50"\nvalves = "load-holding valve on A"\nvalves_tested = "without"',
  ],
  ['kind = "ISO VG 46"', 'kind = "ISO VG 46"\ncleanliness = "ISO 4406 18/16/13"'],
  ['[[port]]', '[[torque]]\npart = "head"\ntorque = "450 N m"\ntool = "TW 12"\n\n[[port]]'],
];
const read = (...changes: (readonly [string, string])[]) =>
  readJob(changed(jobText, [...facts, ...changes]), { file: 'job.toml' });

describe('facts of a job', () => {
  it('are all read, each under its own name', () => {
    expect(Object.fromEntries(namedFacts(read().facts))).toEqual({
      'part number': 'PN 20-4471',
      'asset number': 'EX-07',
      'place in machine': 'boom, left',
      sensor: 'PS-50',
      'valves on body': 'load-holding valve on A, taken off for the test',
      purpose: 'after repair',
      'customer order': 'PO 88120',
      'work done': 'resealed, rod polished',
      'seal kit': 'SK 100/56',
      'declared torque': 'head 450 N m (TW 12)',
      'oil cleanliness': 'ISO 4406 18/16/13',
    });
  });

  it('are none where none is stated', () => {
    const { facts: none } = readJob(jobText, { file: 'job.toml' });
    expect(none).toEqual({});
    expect(namedFacts(none)).toEqual([]);
  });

  it.each([
    ['purpose = "after repair"', 'purpose = "warranty"', 'purpose'],
    ['valves_tested = "without"', '', 'cylinder.valves_tested'],
    ['valves = "load-holding valve on A"\n', '', 'cylinder.valves'],
    ['torque = "450 N m"', 'torque = "450"', 'torque[1].torque'],
    ['torque = "450 N m"', 'torque = "450 bar"', 'torque[1].torque'],
    ['tool = "TW 12"', '', 'torque[1].tool'],
  ])('refuses %s as %s', (from, to, key) => {
    const refused = (() => {
      try {
        return read([from, to]);
      } catch (error) {
        return error;
      }
    })();
    expect(refused).toBeInstanceOf(DwellmarkError);
    expect((refused as DwellmarkError).place).toMatchObject({ file: 'job.toml', key });
  });
});
