import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileLimits, readGivenText } from '../../record/index.js';
import { steeringSign } from '../../units/index.js';

/** Who tests is asked once a shift and kept, with the cautions that he read in it, in a file beside the shop's. */
const fileName = '.dwellmark-shift.json';
const shiftMs = 12 * 3600 * 1000;

/** Who tests in this shift, and what he read in it. */
export interface Shift {
  readonly technician: string;
  readonly read: readonly string[];
  readonly atMs: number;
}

/** The shift that goes on, or null. */
export function shiftGoingOn(shopFolder: string, nowMs: number): Shift | null {
  try {
    const kept: unknown = JSON.parse(
      readGivenText(path.join(shopFolder, fileName), { what: 'name of the shift', most: fileLimits.text }),
    );
    if (typeof kept !== 'object' || kept === null || !('technician' in kept) || !('atMs' in kept)) return null;
    const { technician, atMs } = kept;
    if (typeof technician !== 'string' || steeringSign(technician) !== null || typeof atMs !== 'number') return null;
    const read = 'read' in kept && Array.isArray(kept.read) ? kept.read.map(String) : [];
    return nowMs >= atMs && nowMs - atMs < shiftMs ? { technician, read, atMs } : null;
  } catch {
    return null;
  }
}

/**
 * Keeps who tests and what he read just now; it adds to what he read before in this shift, which began with his name. A
 * folder that can't be written to forgets it, and that is all.
 */
export function keepShift(shopFolder: string, technician: string, read: readonly string[], nowMs: number): void {
  const before = shiftGoingOn(shopFolder, nowMs);
  const same = before !== null && before.technician === technician ? before : { read: [], atMs: nowMs };
  const shift: Shift = { technician, read: [...new Set([...same.read, ...read])], atMs: same.atMs };
  try {
    writeFileSync(path.join(shopFolder, fileName), `${JSON.stringify(shift)}\n`);
  } catch {
    // It will be asked again.
  }
}
