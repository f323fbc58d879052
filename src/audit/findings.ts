import { DwellmarkError, withoutSteering } from '../units/index.js';

/** Something that does not agree, and where: a test, a ledger position, a chunk. */
export interface Problem {
  readonly where: string;
  readonly what: string;
}

/**
 * What a check did, what it could not do, and what it found. No problem means: nothing checked was altered; nothing
 * unproven besides: what is read is what was proven.
 */
export interface CheckReport {
  readonly checked: readonly string[];
  readonly notChecked: readonly string[];
  /** Why nobody may rely on it yet, though nothing was found altered: who signed is not known, pages not compared, void. */
  readonly unproven: readonly string[];
  readonly problems: readonly Problem[];
  readonly counts: CheckCounts;
}

export interface CheckCounts {
  tests: number;
  readings: number;
  links: number;
  verdicts: number;
  signatures: number;
  certificates: number;
  ledgerLines: number;
}

/** Gathers findings: a check goes on after the first problem, and what cannot even be read is a problem too. */
export class Findings {
  readonly #problems: Problem[] = [];
  readonly #checked: string[] = [];
  readonly #notChecked: string[] = [];
  readonly #unproven: string[] = [];
  readonly counts: CheckCounts = {
    tests: 0,
    readings: 0,
    links: 0,
    verdicts: 0,
    signatures: 0,
    certificates: 0,
    ledgerLines: 0,
  };

  problem(where: string, what: string): void {
    this.#problems.push({ where: withoutSteering(where), what: withoutSteering(what) });
  }

  /** A problem unless the two are the same. */
  same(where: string, name: string, stored: unknown, computed: unknown): void {
    if (!Object.is(stored, computed))
      this.problem(where, `${name} is stored as ${shown(stored)}, should be ${shown(computed)}`);
  }

  checked(what: string): void {
    this.#checked.push(what);
  }

  notChecked(what: string): void {
    this.#notChecked.push(what);
  }

  unproven(what: string): void {
    this.#unproven.push(what);
  }

  /** Runs a part of the check; an error out of it is a problem at that place. */
  tried<T>(where: string, part: () => T): T | undefined {
    try {
      return part();
    } catch (cause) {
      this.unreadable(where, cause);
      return undefined;
    }
  }

  /** What cannot even be read is a problem too. */
  unreadable(where: string, cause: unknown): void {
    const what = cause instanceof DwellmarkError || cause instanceof Error ? cause.message : String(cause);
    this.problem(where, `cannot be read: ${what}`);
  }

  /** Takes over what a part of the check found by itself. */
  add(part: CheckReport): void {
    for (const text of part.checked) this.checked(text);
    for (const text of part.notChecked) this.notChecked(text);
    for (const text of part.unproven) this.unproven(text);
    for (const { where, what } of part.problems) this.problem(where, what);
    for (const key of Object.keys(this.counts) as (keyof CheckCounts)[]) this.counts[key] += part.counts[key];
  }

  report(): CheckReport {
    return {
      checked: this.#checked,
      notChecked: this.#notChecked,
      unproven: this.#unproven,
      problems: this.#problems,
      counts: { ...this.counts },
    };
  }
}

function shown(value: unknown): string {
  const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? String(value));
  return text.length > 80 ? `${text.slice(0, 77)}…` : text;
}
