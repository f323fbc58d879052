import { withoutSteering } from './steering.js';

/**
 * What went wrong, sorted by who must act. The command line turns each into its exit code:
 * `usage` and `input` 2, `altered` 4, `gauge` 5.
 */
export type ErrorCode = 'usage' | 'input' | 'refused' | 'altered' | 'gauge';

/** Where in the user's own material the trouble lies. */
export interface ErrorPlace {
  readonly file?: string;
  /** 1-based. */
  readonly line?: number;
  /** 1-based. */
  readonly column?: number;
  /** Dotted path of a key, e.g. `cylinder.bore` or `port[1].position`. */
  readonly key?: string;
}

/** A shop's own driver may bring its own copy of this file: its errors must be known for what they are all the same. */
const mark = Symbol.for('dwellmark.error');

/** An error meant for the person who must act: what is wrong, where, what to do. A bug is a plain Error. */
export class DwellmarkError extends Error {
  readonly code: ErrorCode;
  readonly place: ErrorPlace;
  /** What to do about it, one sentence, or undefined when the message says it. */
  readonly advice: string | undefined;
  /** Other mistakes in the same material, found together with this one. */
  readonly others: readonly DwellmarkError[];
  readonly [mark] = true;

  constructor(
    code: ErrorCode,
    message: string,
    options: { place?: ErrorPlace; advice?: string; cause?: unknown; others?: readonly DwellmarkError[] } = {},
  ) {
    super(withoutSteering(message), options.cause === undefined ? undefined : { cause: options.cause });
    this.name = 'DwellmarkError';
    this.code = code;
    this.place = shownPlace(options.place ?? {});
    this.advice = options.advice === undefined ? undefined : withoutSteering(options.advice);
    this.others = options.others ?? [];
  }

  static override [Symbol.hasInstance](value: unknown): boolean {
    return typeof value === 'object' && value !== null && mark in value;
  }
}

/** File names and keys come from outside too. */
const shownPlace = ({ file, key, ...spot }: ErrorPlace): ErrorPlace => ({
  ...spot,
  ...(file === undefined ? {} : { file: withoutSteering(file) }),
  ...(key === undefined ? {} : { key: withoutSteering(key) }),
});

/** `job.toml:12:5, cylinder.bore`, or an empty string when nothing is known. */
export function describePlace(place: ErrorPlace): string {
  const spot = [place.file, place.line, place.column].filter((part) => part !== undefined).join(':');
  return [spot, place.key].filter((part) => part !== undefined && part !== '').join(', ');
}
