import { type KnownBefore, type LineProposal, proposeLineShape } from './line-shape.js';

/** Bytes heard from an unknown gauge, made lines. */
export interface Capture {
  /** A line feed, a line feed with a carriage return behind it, a carriage return, or end of text. */
  readonly terminator: '\n' | '\n\r' | '\r' | '\u0003';
  /** Whole lines only: the first and the last may be cut. */
  readonly lines: readonly string[];
  readonly proposal: LineProposal | undefined;
}

/** Tab, line ends, start and end of text, and the degree sign and small two as Latin-1 or UTF-8. */
const lineBytes = new Set([0x09, 0x0a, 0x0d, 0x02, 0x03, 0xb0, 0xb2, 0xc2]);
/** Bytes that lines of a gauge are not made of: with the wrong baud rate or parity they abound. */
const isStrange = (byte: number): boolean => (byte < 0x20 || byte > 0x7e) && !lineBytes.has(byte);
const mostStrange = 0.05;

/** Whether these bytes could be lines, so far as they have come. */
export const looksLikeText = (bytes: Uint8Array): boolean =>
  bytes.length > 0 && bytes.filter(isStrange).length <= mostStrange * bytes.length;

/**
 * Makes sense of bytes heard at one line setting, or undefined when they make none: too many signs that no gauge
 * sends, or no line end among them.
 */
export function readCapture(bytes: Uint8Array, known: KnownBefore = {}): Capture | undefined {
  if (!looksLikeText(bytes)) return undefined;
  const text = Buffer.from(bytes).toString('latin1');
  const terminator = terminatorOf(text);
  if (!text.includes(terminator)) return undefined;
  const lines = text
    .split(terminator)
    .slice(1, -1)
    .map((line) => line.replaceAll('\r', '').replaceAll('\u00c2\u00b0', '\u00b0').replaceAll('\u00c2\u00b2', '\u00b2'))
    .filter((line) => line.trim() !== '');
  return { terminator, lines, proposal: proposeLineShape(lines, known) };
}

function terminatorOf(text: string): Capture['terminator'] {
  const feeds = text.match(/\r?\n(?:\r(?!\n))?/g) ?? [];
  if (feeds.length > 1 && feeds.slice(0, -1).every((feed) => feed === '\n\r')) return '\n\r';
  if (feeds.length > 0) return '\n';
  return text.includes('\r') ? '\r' : '\u0003';
}
