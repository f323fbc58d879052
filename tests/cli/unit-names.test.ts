import { expect, it } from 'vitest';
import { unitNames } from '../../src/cli/program/command.js';
import { unitSystems } from '../../src/units/index.js';

it('every unit system can be asked for by name', () => {
  expect([...unitNames].sort()).toEqual(Object.keys(unitSystems).sort());
});
