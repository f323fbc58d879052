import { describe, expect, it } from 'vitest';
import {
  type CylinderKind,
  holdCoverage,
  type OppositePort,
  type PistonPosition,
  testablePorts,
} from '../../src/hydraulics/index.js';
import { DwellmarkError } from '../../src/units/index.js';

const kinds: readonly CylinderKind[] = [
  'double-acting',
  'double-rod',
  'single-acting',
  'single-acting pull',
  'plunger',
  'telescopic',
];
const positions: readonly PistonPosition[] = ['extended', 'retracted', 'mid-stroke restrained'];
const opposites: readonly OppositePort[] = ['open', 'blocked', 'gauge'];
const everyHold = kinds.flatMap((kind) =>
  testablePorts(kind).flatMap((port) =>
    positions.flatMap((position) => opposites.map((opposite) => ({ kind, port, position, opposite }))),
  ),
);

describe('a double-acting cylinder', () => {
  it('held on A extended, B open: the cap end and the piston seal, nothing of the rod end', () => {
    const hold = holdCoverage('double-acting', 'A', 'extended', 'open');
    expect(hold.covers).toEqual(['cap', 'cap weld or cap seal', 'port A boss', 'barrel', 'piston seal']);
    expect(hold.notCovered).toEqual(['rod seal', 'gland O-ring', 'head', 'port B boss']);
    expect(hold.canShowPistonBypass).toBe(true);
  });

  it('held on B retracted, A open: the rod end and the piston seal, nothing of the cap end', () => {
    const hold = holdCoverage('double-acting', 'B', 'retracted', 'open');
    expect(hold.covers).toEqual(['rod seal', 'gland O-ring', 'head', 'port B boss', 'barrel', 'piston seal']);
    expect(hold.notCovered).toEqual(['cap', 'cap weld or cap seal', 'port A boss']);
  });

  it('needs both holds to cover every part', () => {
    const onA = holdCoverage('double-acting', 'A', 'extended', 'open');
    const onB = holdCoverage('double-acting', 'B', 'retracted', 'open');
    expect(onA.notCovered.every((part) => onB.covers.includes(part))).toBe(true);
    expect(onB.notCovered.every((part) => onA.covers.includes(part))).toBe(true);
  });

  it.each(['A', 'B'] as const)(
    'bottomed with the opposite port blocked says nothing of the piston seal (port %s)',
    (port) => {
      const hold = holdCoverage('double-acting', port, port === 'A' ? 'extended' : 'retracted', 'blocked');
      expect(hold.canShowPistonBypass).toBe(false);
      expect(hold.covers).not.toContain('piston seal');
      expect(hold.notCovered).toContain('piston seal');
      expect(hold.remarks.join(' ')).toContain('hides a leaking piston seal');
    },
  );

  it('mid-stroke and blocked would show bypass as pressures that move together, with a gauge only', () => {
    const blind = holdCoverage('double-acting', 'A', 'mid-stroke restrained', 'blocked');
    const seen = holdCoverage('double-acting', 'A', 'mid-stroke restrained', 'gauge');
    expect(blind.canShowPistonBypass).toBe(false);
    expect(blind.remarks.join(' ')).toContain('move together');
    expect(seen.canShowPistonBypass).toBe(true);
    expect(seen.remarks.join(' ')).toContain('move together');
  });

  it('mid-stroke loads half of the barrel, and the rod must be restrained', () => {
    const hold = holdCoverage('double-acting', 'A', 'mid-stroke restrained', 'open');
    expect(hold.covers).toContain('barrel, half at port A');
    expect(hold.notCovered).toContain('barrel, half at port B');
    expect(hold.notCovered).not.toContain('barrel');
    expect(hold.remarks.join(' ')).toContain('restrained from outside');
  });

  it('pressurised at the end where the piston stands moves away, and loads no barrel', () => {
    const hold = holdCoverage('double-acting', 'A', 'retracted', 'open');
    expect(hold.covers).not.toContain('barrel');
    expect(hold.notCovered).toContain('barrel');
    expect(hold.remarks.join(' ')).toContain('moves the piston away');
  });

  it('says that a ballooned barrel shows only mid-stroke', () => {
    expect(holdCoverage('double-acting', 'A', 'extended', 'open').remarks.join(' ')).toContain('balloons');
  });
});

describe('other kinds', () => {
  it('single-acting: bypass shows at the breather or drain', () => {
    expect(holdCoverage('single-acting', 'A', 'extended', 'open')).toMatchObject({ canShowPistonBypass: true });
    expect(holdCoverage('single-acting', 'A', 'extended', 'open').remarks.join(' ')).toContain('breather or drain');
    expect(holdCoverage('single-acting', 'A', 'extended', 'blocked').canShowPistonBypass).toBe(false);
  });

  it('plunger: no piston seal, and the gland is under pressure', () => {
    const hold = holdCoverage('plunger', 'A', 'extended', 'open');
    expect(hold.covers).toContain('rod seal');
    expect([...hold.covers, ...hold.notCovered]).not.toContain('piston seal');
    expect(hold.canShowPistonBypass).toBe(false);
  });

  it('double rod: each end has its own rod seal, and a leaking piston drifts', () => {
    const hold = holdCoverage('double-rod', 'B', 'retracted', 'open');
    expect(hold.covers).toContain('rod seal at B');
    expect(hold.notCovered).toContain('rod seal at A');
    expect(hold.notCovered).not.toContain('cap');
    expect(hold.remarks.join(' ')).toContain('drifts');
  });

  it('telescopic: bled at the top, stages in order, piston bypass only from B', () => {
    const onA = holdCoverage('telescopic', 'A', 'extended', 'open');
    expect(onA.covers).toContain('stage seals');
    expect(onA.canShowPistonBypass).toBe(false);
    expect(onA.remarks.join(' ')).toMatch(/at its top.*in order.*intensifies/);
    expect(holdCoverage('telescopic', 'B', 'retracted', 'open').canShowPistonBypass).toBe(true);
  });

  it.each(['single-acting', 'plunger'] as const)('a %s cylinder has no port B to hold', (kind) => {
    expect(testablePorts(kind)).toEqual(['A']);
    expect(() => holdCoverage(kind, 'B', 'retracted', 'open')).toThrow(DwellmarkError);
  });
});

describe('every hold', () => {
  it.each(everyHold)('$kind, $port, $position, opposite $opposite', ({ kind, port, position, opposite }) => {
    const hold = holdCoverage(kind, port, position, opposite);
    const all = [...hold.covers, ...hold.notCovered];
    expect(new Set(all).size, 'no part twice').toBe(all.length);
    expect(hold.covers.length).toBeGreaterThan(0);
    expect(hold.covers.includes('piston seal')).toBe(hold.canShowPistonBypass);
    if (opposite === 'blocked') expect(hold.canShowPistonBypass).toBe(false);
    expect(hold.remarks.join(' ')).not.toMatch(/\bsafe/);
  });
});
