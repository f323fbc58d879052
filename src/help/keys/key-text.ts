/** What the reference says of a key beyond its schema. */
export interface KeyText {
  readonly text: string;
  /** As written in the file; where the schema carries none. */
  readonly example?: string;
  /** What holds when the key is absent, where the schema does not say it. */
  readonly usual?: string;
}

/** By the dotted path of a key. */
export type KeyTexts = Readonly<Record<string, KeyText>>;
