import {
  type ChecksumKind,
  checksumText,
  type KnownBefore,
  type LineProposal,
  proposeLineShape,
} from '../../src/gauge/index.js';
import { type PortSettings, SerialLine, usualLineSettings } from '../serial/index.js';

type LineSetting = Omit<PortSettings, 'path'>;

/** What is sent to a gauge of which only the manual's command is known. */
export interface TriedRequest {
  /** With `{address}` and `{checksum}` where they stand; its end may be missing. */
  readonly request: string;
  readonly address?: string;
}

/** A gauge that answered, and all that belongs into its settings. */
export interface AnsweringGauge {
  readonly line: LineSetting;
  /** With its end. */
  readonly request: string;
  readonly requestChecksum: ChecksumKind;
  readonly terminator: '\n' | '\r';
  /** Answers as they came, whole lines. */
  readonly lines: readonly string[];
  readonly proposal: LineProposal;
}

const ends = ['\r', '\r\n', '\n'] as const;
const kinds = ['sum', 'twos-complement', 'xor', 'crc16'] as const;
/** Answers from which a shape is proposed. */
const wantedAnswers = 10;

/**
 * Sends a request at the usual line settings, with each end and each checksum it may have, until an answer comes that
 * can be read. Undefined when none does.
 * @throws DwellmarkError (`gauge`) when the port does not open.
 */
export async function tryRequests(
  path: string,
  tried: TriedRequest,
  options: {
    readonly known?: KnownBefore;
    readonly lines?: readonly LineSetting[];
    readonly answerMs?: number;
    readonly onTry?: (line: LineSetting) => void;
  } = {},
): Promise<AnsweringGauge | undefined> {
  for (const line of options.lines ?? usualLineSettings) {
    options.onTry?.(line);
    const found = await atLine({ path, ...line }, tried, options.known ?? {}, options.answerMs ?? 300);
    if (found) return { ...found, line };
  }
  return undefined;
}

async function atLine(
  port: PortSettings,
  { request, address = '' }: TriedRequest,
  known: KnownBefore,
  answerMs: number,
): Promise<Omit<AnsweringGauge, 'line'> | undefined> {
  const voice = new Voice(port, answerMs);
  await voice.open();
  try {
    for (const [whole, kind] of spellings(request)) {
      const bytes = requestBytes(whole, address, kind);
      const first = await voice.ask(bytes);
      if (first.length === 0) continue;
      const lines = [...first];
      for (let asked = 1; asked < wantedAnswers; asked += 1) lines.push(...(await voice.ask(bytes)));
      const proposal = proposeLineShape(lines, { ...known, checksum: kind });
      if (proposal) return { request: whole, requestChecksum: kind, terminator: voice.terminator, lines, proposal };
    }
    return undefined;
  } finally {
    await voice.close();
  }
}

/** The request with every end and every checksum that it may have. */
function spellings(request: string): [whole: string, kind: ChecksumKind][] {
  const wholes = /[\r\n]$/.test(request) ? [request] : ends.map((end) => request + end);
  return wholes.flatMap((whole) =>
    whole.includes('{checksum}')
      ? kinds.map((kind): [string, ChecksumKind] => [whole, kind])
      : [[whole, 'none'] satisfies [string, ChecksumKind]],
  );
}

function requestBytes(whole: string, address: string, kind: ChecksumKind): Buffer {
  const text = whole.replaceAll('{address}', address);
  const before = Buffer.from(text.split('{checksum}')[0] ?? '', 'latin1');
  return Buffer.from(text.replace('{checksum}', checksumText(kind, before)), 'latin1');
}

/** One question after the other on an open port, each with the lines that answered it. */
class Voice {
  readonly #line: SerialLine;
  readonly #answerMs: number;
  #text = '';
  #look: () => void = () => {};
  terminator: '\n' | '\r' = '\r';

  constructor(port: PortSettings, answerMs: number) {
    this.#answerMs = answerMs;
    this.#line = new SerialLine(port, {
      bytes: (piece) => {
        this.#text = (this.#text + piece.toString('latin1')).slice(-4096);
        this.#look();
      },
      fault: () => {},
      reopened: () => {},
    });
  }

  open(): Promise<void> {
    return this.#line.open();
  }

  close(): Promise<void> {
    return this.#line.close();
  }

  /** Whole lines that came, the echo of the question left out. */
  async ask(request: Buffer): Promise<string[]> {
    this.#text = '';
    const echo = request.toString('latin1').trim();
    this.#line.write(request);
    const lines = (): string[] =>
      this.#text
        .split(/[\r\n]+/)
        .slice(0, -1)
        .map((line) => line.trim())
        .filter((line) => line !== '' && line !== echo && !/[^\t\x20-\x7e\xb0\xb2]/.test(line));
    await new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, this.#answerMs);
      this.#look = () => {
        if (lines().length === 0) return;
        clearTimeout(timer);
        resolve();
      };
    });
    // The line feed of a carriage return may come a moment later.
    if (lines().length > 0) await new Promise((resolve) => setTimeout(resolve, 10));
    if (this.#text.includes('\n')) this.terminator = '\n';
    return lines();
  }
}
