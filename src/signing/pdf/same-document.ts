import { inflateSync } from 'node:zlib';
import { DwellmarkError } from '../../units/index.js';
import { pdfFault } from './syntax.js';

/**
 * Whether two PDFs as pdfkit writes them are the same but for how their streams are packed: machines pack the same bytes
 * differently. Everything else is compared byte for byte, and every object must stand where the table of objects says.
 */
export function sameDocument(one: Buffer, other: Buffer): boolean {
  if (one.equals(other)) return true;
  try {
    const [parts, others] = [unpacked(one), unpacked(other)];
    return parts.length === others.length && parts.every((part, index) => part.equals(others[index] as Buffer));
  } catch (error) {
    if (error instanceof DwellmarkError) return false;
    throw error;
  }
}

const objectStart = /(\d+ \d+) obj\n/y;
const [streamMark, objectEnd, streamEnd] = ['\nstream\n', '\nendobj\n', '\nendstream\nendobj\n'];

/**
 * The objects of a PDF in the order of the file with their streams unpacked, then its table of objects by the numbers that
 * it lists. Throws `altered` for anything between the objects, and for a table that does not point at them.
 */
function unpacked(pdf: Buffer): Buffer[] {
  const text = pdf.toString('latin1');
  let at = text.indexOf('\n\n') + 2;
  const parts = [pdf.subarray(0, at)];
  const objects = new Map<number, string>();
  for (;;) {
    objectStart.lastIndex = at;
    const [, name] = objectStart.exec(text) ?? [];
    if (name === undefined) break;
    objects.set(at, name);
    const end = text.indexOf(objectEnd, at) + objectEnd.length;
    if (end < objectEnd.length) throw pdfFault('an object has no end', at);
    const stream = text.indexOf(streamMark, at);
    if (stream < 0 || stream > end) {
      parts.push(pdf.subarray(at, end));
      at = end;
      continue;
    }
    const { head, content, end: streamEnds } = streamAt(pdf, text, at, stream + streamMark.length);
    parts.push(Buffer.from(head, 'latin1'), content);
    at = streamEnds;
  }
  parts.push(Buffer.from(tableAt(text, at, objects), 'latin1'));
  return parts;
}

function streamAt(pdf: Buffer, text: string, from: number, start: number) {
  const head = text.slice(from, start);
  const lengths = head.match(/\/Length \d+\n/g) ?? [];
  const end = start + Number(/\d+/.exec(lengths[0] ?? '')?.[0]);
  if (lengths.length !== 1 || !text.startsWith(streamEnd, end)) throw pdfFault('a stream has no end', from);
  const packed = pdf.subarray(start, end);
  const isPacked = head.includes('\n/Filter /FlateDecode\n');
  return {
    head: isPacked ? head.replace(/\/Length \d+\n/, '/Length\n') : head,
    content: isPacked ? wholeInflated(packed, from) : packed,
    end: end + streamEnd.length,
  };
}

/** Unpacks a stream that must end where its packing ends. */
function wholeInflated(packed: Buffer, at: number): Buffer {
  try {
    const { buffer, engine } = inflateSync(packed, { info: true }) as unknown as {
      buffer: Buffer;
      engine: { bytesWritten: number };
    };
    if (engine.bytesWritten === packed.length) return buffer;
  } catch {
    // Told below: it does not unpack.
  }
  throw pdfFault('a stream does not unpack to its end', at);
}

/** The table of objects and what follows it, each place replaced by the object that stands there. */
function tableAt(text: string, at: number, objects: ReadonlyMap<number, string>): string {
  const named = text.slice(at).replace(/^(\d{10}) (\d{5}) n/gm, (_, place: string, generation: string) => {
    const name = objects.get(Number(place));
    if (name === undefined) throw pdfFault('its table of objects points beside them', at);
    return `object ${name} ${generation} n`;
  });
  const end = `startxref\n${at}\n%%EOF\n`;
  if (!named.endsWith(end)) throw pdfFault('its table of objects is not where it says', at);
  return named.slice(0, -end.length);
}
