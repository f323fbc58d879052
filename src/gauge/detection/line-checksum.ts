import { type ChecksumKind, checksumText } from '../wire/checksum.js';

/** A checksum that every line ends with. */
export interface FoundChecksum {
  readonly kind: ChecksumKind;
  readonly digits: 2 | 4;
  /** Signs that it does not cover: at the line's start, and right before it. */
  readonly skips: readonly [start: number, before: number];
}

const kinds = ['crc16', 'sum', 'twos-complement', 'xor'] as const;

/** The checksum that agrees with every line, when the lines differ enough to tell. */
export function checksumOfLines(lines: readonly string[], likely: ChecksumKind): FoundChecksum | null {
  for (const kind of kinds) {
    const digits = kind === 'crc16' ? 4 : 2;
    const ends = lines.map((line) => line.slice(-digits).toUpperCase());
    if (kind !== likely && new Set(ends).size === 1) continue;
    for (const start of [0, 1, 2])
      for (const before of [0, 1]) {
        const covered = lines.map((line) => line.slice(start, line.length - digits - before));
        // What is left out are signs of the frame, never part of a value.
        const frame = lines.map(
          (line) => line.slice(0, start) + line.slice(line.length - digits - before, line.length - digits),
        );
        if (frame.some((text) => /[\d+\-.]/.test(text))) continue;
        if (covered.every((text, index) => checksumText(kind, Buffer.from(text, 'latin1')) === ends[index]))
          return { kind, digits, skips: [start, before] };
      }
  }
  return null;
}

/**
 * What looks like a checksum behind a star but agrees with none: hexadecimal digits that change. It is left out of what
 * is read as a value, and not checked.
 */
export function unknownChecksum(lines: readonly string[]): boolean {
  const ends = lines.map((line) => /\*([0-9A-F]{2}|[0-9A-F]{4})$/i.exec(line)?.[1]);
  return ends.every((end) => end !== undefined);
}
