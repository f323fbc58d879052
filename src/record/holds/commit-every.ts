/** How much may wait in memory before it is committed. */
export interface CommitEvery {
  /** Span of reading time, seconds. */
  readonly seconds: number;
  /** Readings. */
  readonly readings: number;
  /** Readings in one link of the chain. */
  readonly chunk: number;
  /** A person's act or a fault is committed at once. */
  readonly actsAtOnce: boolean;
}

/** At the bench a power cut may cost a second; a log or a simulation can be read again. */
export const commitEvery = {
  live: { seconds: 1, readings: 1_000_000, chunk: 1000, actsAtOnce: true },
  repeatable: { seconds: Number.POSITIVE_INFINITY, readings: 2048, chunk: 2048, actsAtOnce: false },
} as const satisfies Record<string, CommitEvery>;
