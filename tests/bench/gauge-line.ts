/** What the device of the gauge benchmark sends; all lines are of one length. */
export const lineAt = (index: number): string => `${(250 - index / 1e4).toFixed(2).padStart(8)} bar  21.5 C\r\n`;

/** Bytes, terminator and all. */
export const lineLength = lineAt(0).length;
