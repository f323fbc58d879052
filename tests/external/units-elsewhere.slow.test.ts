import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { type Dimension, findUnit } from '../../src/units/index.js';
import { relative } from './oracle.js';

/** GNU units (Debian's units) for what js-quantities does not know, and for what it keeps to six digits. */
const ask = (from: string, to: string): number =>
  Number(execFileSync('units', ['-t', '-o', '%.12g', from, to], { encoding: 'utf8' }));

describe('against GNU units', () => {
  it.each([
    ['pressure', 'psi', 'psi', 'Pa', 1e-8],
    ['pressure', 'ksi', 'ksi', 'Pa', 1e-8],
    ['pressure', 'kgf/cm2', 'kgf/cm^2', 'Pa', 1e-8],
    ['pressure', 'N/mm2', 'N/mm^2', 'Pa', 1e-12],
    ['pressure', 'inHg', 'inHg', 'Pa', 1e-6],
    ['pressure', 'mmHg', 'mmHg', 'Pa', 1e-6],
    ['pressure', 'inH2O', 'inH2O', 'Pa', 1e-6],
    ['pressure', 'mH2O', '1 m water', 'Pa', 1e-6],
    ['volume', 'cc', 'cc', 'm^3', 1e-12],
    ['volume', 'gal', 'gallon', 'm^3', 1e-9],
    ['force', 'kgf', 'kgf', 'N', 1e-9],
    ['force', 'lbf', 'lbf', 'N', 1e-9],
    ['flow', 'mL/min', 'ml/min', 'm^3/s', 1e-9],
    ['expansion', '/degF', '1/degF', '1/K', 1e-9],
  ] as const satisfies readonly (readonly [Dimension, string, string, string, number])[])(
    '%s in %s',
    (dimension, name, theirs, si, share) => {
      expect(relative(findUnit(dimension, name)?.factor ?? Number.NaN, ask(theirs, si))).toBeLessThan(share);
    },
  );
});
