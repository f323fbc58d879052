import { DatabaseError } from 'pg';
import { DwellmarkError } from '../units/index.js';

/** What PostgreSQL's and the network's errors mean to a person; anything else is handed on as it is. */
export function archiveError(cause: unknown, archive: string): unknown {
  if (cause instanceof DwellmarkError || !(cause instanceof Error)) return cause;
  const code = isLostLine(cause) ? '08' : codeOf(cause);
  const told = meanings.find(({ codes }) => codes.some((known) => code.startsWith(known)));
  if (told)
    return new DwellmarkError(told.as, told.message ?? `the archive refuses: ${cause.message}`, {
      place: { file: archive },
      advice: told.advice,
      cause,
    });
  if (cause instanceof DatabaseError)
    return new DwellmarkError('input', `the archive failed: ${cause.message}`, { place: { file: archive }, cause });
  return cause;
}

/** The line was lost under a push: everything the archive acknowledged is kept, and the push may go on. */
export const isLostLine = (cause: unknown): boolean =>
  cause instanceof Error &&
  (lostLine.some((code) => codeOf(cause).startsWith(code)) || /^Connection terminated|is closed/.test(cause.message));

/** Another push of the same bench brought these rows first (unique violation), or stands in the way (deadlock). */
export const isBesideAnother = (cause: unknown): boolean =>
  cause instanceof DatabaseError && (cause.code === '23505' || cause.code === '40P01');

/** A server whose names have several addresses fails with one error for each: the first tells enough. */
function codeOf(cause: Error): string {
  const first = cause instanceof AggregateError ? (cause.errors[0] as unknown) : cause;
  return String((first as { code?: unknown } | undefined)?.code ?? '');
}

const lostLine = ['ECONNRESET', 'EPIPE', '57P0', '08'];

interface Meaning {
  readonly codes: readonly string[];
  readonly as: 'input' | 'refused' | 'altered';
  /** Null: what the archive said. */
  readonly message: string | null;
  readonly advice: string;
}

const meanings: readonly Meaning[] = [
  {
    codes: ['DW001'],
    as: 'altered',
    message: null,
    advice: 'Run `dwellmark verify --all` on the bench; the archive keeps what it has.',
  },
  { codes: ['DW002'], as: 'altered', message: null, advice: 'Push from the store itself, with nothing left out.' },
  {
    codes: ['DW003'],
    as: 'altered',
    message: null,
    advice: 'Run `dwellmark verify --all` on the bench; the archive keeps what it has.',
  },
  {
    codes: ['42P01', '3F000'],
    as: 'input',
    message: 'this database holds no archive',
    advice: 'Make one with `dwellmark archive prepare --archive URL`, as the owner of the database.',
  },
  {
    codes: ['42501'],
    as: 'refused',
    message: 'this login may not do that in the archive',
    advice: 'A bench adds to its own rows and a reader reads; ask the owner of the database for the right role.',
  },
  {
    codes: ['28'],
    as: 'refused',
    message: 'the archive does not accept this login',
    advice: 'Check the login in the address, and PGPASSWORD.',
  },
  { codes: ['3D000'], as: 'input', message: 'there is no such database', advice: 'Check the address of the archive.' },
  {
    codes: ['53100'],
    as: 'refused',
    message: "the archive's disk is full",
    advice: 'Make room there and push again; nothing is lost.',
  },
  {
    codes: ['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'ENOENT', 'ETIMEDOUT', 'EHOSTUNREACH'],
    as: 'refused',
    message: 'nobody answers at the archive',
    advice: 'Check the address and the network. The bench works without it; push later.',
  },
  {
    codes: ['08'],
    as: 'refused',
    message: 'the line to the archive was lost',
    advice: 'Push again: it goes on where it stopped.',
  },
];
