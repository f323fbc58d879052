import { expect, it } from 'vitest';
import { fall, moved, pressureDifferencePa, pressurePa } from '../../src/units/index.js';

it('a fall is positive when pressure falls', () => {
  expect(fall(pressurePa(250e5), pressurePa(245e5))).toBe(5e5);
  expect(moved(pressurePa(250e5), pressureDifferencePa(-5e5))).toBe(245e5);
});
