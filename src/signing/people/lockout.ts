import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { fileLimits, readGivenText } from '../../record/index.js';
import { writePrivateFile } from '../private-file.js';

/** Wrong passphrases in a row that are let go by. */
const freeFailures = 4;
const firstLockMs = 5 * 60_000;
const longestLockMs = 24 * 3_600_000;

const attemptsSchema = z.strictObject({ failures: z.int().nonnegative(), lockedUntil: z.iso.datetime().nullable() });

/**
 * Wrong passphrases in a row, kept beside the key file. It keeps someone at the shop's keyboard from guessing; who
 * can copy the key file can guess elsewhere, and there only the cost of scrypt stands against him. Two programs that try at the same moment may count as one.
 */
export type Attempts = z.infer<typeof attemptsSchema>;

/** No failure since the last success when there is no file; the last free failure used up when it can't be read. */
export function readAttempts(dir: string, id: string): Attempts {
  const file = attemptsPath(dir, id);
  if (!existsSync(file)) return { failures: 0, lockedUntil: null };
  try {
    return attemptsSchema.parse(JSON.parse(readGivenText(file, { what: 'count of attempts', most: fileLimits.text })));
  } catch {
    return { failures: freeFailures, lockedUntil: null };
  }
}

export function writeAttempts(dir: string, id: string, attempts: Attempts): void {
  writePrivateFile(attemptsPath(dir, id), `${JSON.stringify(attempts)}\n`);
}

export function forgetAttempts(dir: string, id: string): void {
  rmSync(attemptsPath(dir, id), { force: true });
}

/** When this person may try again, or null for now. A lock that a wrong clock set years ahead ends after a day. */
export function lockedUntil(attempts: Attempts, now: Date): Date | null {
  if (attempts.lockedUntil === null) return null;
  const until = Math.min(Date.parse(attempts.lockedUntil), now.getTime() + longestLockMs);
  return until > now.getTime() ? new Date(until) : null;
}

/**
 * The state after one more wrong passphrase: the fifth in a row locks for 5 minutes, each further one for twice as
 * long as the one before, at most a day.
 *
 * @example
 * failedOnceMore({ failures: 4, lockedUntil: null }, new Date('2026-03-02T08:00:00Z')).lockedUntil;
 * // '2026-03-02T08:05:00.000Z'
 */
export function failedOnceMore(attempts: Attempts, now: Date): Attempts {
  const failures = attempts.failures + 1;
  if (failures <= freeFailures) return { failures, lockedUntil: null };
  const lockMs = Math.min(firstLockMs * 2 ** (failures - freeFailures - 1), longestLockMs);
  return { failures, lockedUntil: new Date(now.getTime() + lockMs).toISOString() };
}

function attemptsPath(dir: string, id: string): string {
  return join(dir, `${id}.attempts.json`);
}
