/** Something forged, and what a check must say: refused (`altered`), or named as a reason not to rely on it (`unproven`). */
export interface Forgery {
  readonly name: string;
  readonly of: 'pdf' | 'page' | 'bundle' | 'store' | 'archive' | 'keys';
  readonly must: 'altered' | 'unproven';
  /** The forged file, where a check by hand goes through it too. */
  readonly file?: Buffer | Promise<Buffer>;
  /** Checks the forged thing: what was found altered, and what was named as not proven; an error with a message is a refusal. */
  check(): Promise<Found>;
}

export interface Found {
  readonly problems: readonly { readonly where: string; readonly what: string }[];
  readonly unproven: readonly string[];
}

/** The forgeries that a check did not find, each with what it said. */
export async function missed(forgeries: readonly Forgery[]): Promise<string[]> {
  const names: string[] = [];
  for (const { name, of, must, check } of forgeries) {
    const { problems, unproven } = await check().catch((error: Error) => refusal(error));
    const found = must === 'altered' ? problems.length > 0 : problems.length + unproven.length > 0;
    if (!found)
      names.push(`${of}, ${name}: ${[...problems.map(({ what }) => what), ...unproven].join(' | ') || 'nothing'}`);
  }
  return names;
}

/** A refusal says what and where; anything else is a fault of the program and no finding. */
function refusal(error: Error): Found {
  if (error.name !== 'DwellmarkError') throw error;
  return { problems: [{ where: 'file', what: error.message }], unproven: [] };
}
