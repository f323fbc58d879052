import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileLimits, readGivenText } from '../../record/index.js';
import { steeringSign } from '../../units/index.js';

/** Who tests is asked once a shift and kept in a file beside the shop's. */
const fileName = '.dwellmark-shift.json';
const shiftMs = 12 * 3600 * 1000;

/** Who said his name last, if that was within the shift. */
export function personOfShift(shopFolder: string, nowMs: number): string | null {
  try {
    const kept: unknown = JSON.parse(
      readGivenText(path.join(shopFolder, fileName), { what: 'name of the shift', most: fileLimits.text }),
    );
    if (typeof kept !== 'object' || kept === null || !('technician' in kept) || !('atMs' in kept)) return null;
    const { technician, atMs } = kept;
    if (typeof technician !== 'string' || steeringSign(technician) !== null || typeof atMs !== 'number') return null;
    return nowMs >= atMs && nowMs - atMs < shiftMs ? technician : null;
  } catch {
    return null;
  }
}

/** Keeps a name for the shift; a folder that can't be written to forgets it, and that is all. */
export function keepPerson(shopFolder: string, technician: string, nowMs: number): void {
  try {
    writeFileSync(path.join(shopFolder, fileName), `${JSON.stringify({ technician, atMs: nowMs })}\n`);
  } catch {
    // It will be asked again.
  }
}
