import { inflateSync } from 'node:zlib';

/** A PDF as pdfkit writes it (plain cross-reference table, no object streams), read without any other program. */
export interface ReadPdf {
  readonly version: string;
  /** Text of each page, one shown string a line. */
  readonly pages: readonly string[];
  readonly text: string;
  readonly fonts: readonly { readonly name: string; readonly embedded: boolean }[];
  readonly attachments: ReadonlyMap<string, Buffer>;
  /** Bodies of all objects, latin1, streams left out. */
  readonly objects: ReadonlyMap<number, string>;
  readonly metadata: string;
}

interface Part {
  readonly body: string;
  readonly stream: Buffer | null;
}

export function readPdf(bytes: Buffer): ReadPdf {
  const parts = readParts(bytes);
  const body = (id: number): string => parts.get(id)?.body ?? '';
  const all = [...parts.values()];
  const fontsByName = new Map<string, Map<string, string>>();
  for (const { body: text } of all)
    for (const [, name = '', id = ''] of text.matchAll(/\/(F\d+) (\d+) 0 R/g)) {
      const toUnicode = /\/ToUnicode (\d+) 0 R/.exec(body(Number(id)))?.[1];
      const stream = toUnicode === undefined ? null : parts.get(Number(toUnicode))?.stream;
      if (stream) fontsByName.set(name, readToUnicode(stream.toString('latin1')));
    }
  const kids =
    /\/Kids \[([^\]]*)\]/.exec(all.find((part) => /\/Type \/Pages\b/.test(part.body))?.body ?? '')?.[1] ?? '';
  const pages = [...kids.matchAll(/(\d+) 0 R/g)].map(([, id]) => {
    const content = /\/Contents (\d+) 0 R/.exec(body(Number(id)))?.[1];
    return shownText(parts.get(Number(content))?.stream?.toString('latin1') ?? '', fontsByName);
  });
  return {
    version: bytes.subarray(0, 8).toString('latin1'),
    pages,
    text: pages.join('\n'),
    fonts: all
      .filter((part) => /\/Type \/FontDescriptor/.test(part.body))
      .map((part) => ({
        name: /\/FontName \/(\S+)/.exec(part.body)?.[1] ?? '',
        embedded: /\/FontFile2 \d+ 0 R/.test(part.body),
      })),
    attachments: readAttachments(parts),
    objects: new Map([...parts].map(([id, part]) => [id, part.body])),
    metadata: all.find((part) => /\/Type \/Metadata/.test(part.body))?.stream?.toString('utf8') ?? '',
  };
}

function readParts(bytes: Buffer): Map<number, Part> {
  const latin = bytes.toString('latin1');
  const parts = new Map<number, Part>();
  for (const match of latin.matchAll(/(?:^|\n)(\d+) 0 obj\n/g)) {
    const start = (match.index ?? 0) + match[0].length;
    const end = latin.indexOf('endobj', start);
    const streamAt = latin.slice(start, end).indexOf('\nstream\n');
    const text = latin.slice(start, streamAt < 0 ? end : start + streamAt);
    let stream: Buffer | null = null;
    if (streamAt >= 0) {
      const length = Number(/\/Length (\d+)/.exec(text)?.[1]);
      const raw = bytes.subarray(start + streamAt + 8, start + streamAt + 8 + length);
      stream = /\/FlateDecode/.test(text) ? inflateSync(raw) : raw;
    }
    parts.set(Number(match[1]), { body: text, stream });
  }
  return parts;
}

function readAttachments(parts: Map<number, Part>): Map<string, Buffer> {
  const attachments = new Map<string, Buffer>();
  for (const { body } of parts.values()) {
    if (!/\/Type \/Filespec/.test(body)) continue;
    const name = /\/UF \(([^)]*)\)/.exec(body)?.[1] ?? '';
    const file = parts.get(Number(/\/EF <<\s*\/F (\d+) 0 R/.exec(body)?.[1]))?.stream;
    if (file) attachments.set(name, file);
  }
  return attachments;
}

function readToUnicode(cmap: string): Map<string, string> {
  const table = new Map<string, string>();
  const spelled = (hex: string): string => Buffer.from(hex.replace(/\s/g, ''), 'hex').swap16().toString('utf16le');
  for (const [, block = ''] of cmap.matchAll(/beginbfrange([\s\S]*?)endbfrange/g))
    for (const [, from = '', , list = ''] of block.matchAll(/<([0-9a-fA-F]{4})> <([0-9a-fA-F]{4})> \[([^\]]*)\]/g)) {
      let code = Number.parseInt(from, 16);
      for (const [, hex = ''] of list.matchAll(/<([0-9a-fA-F ]*)>/g)) {
        table.set(code.toString(16).padStart(4, '0'), spelled(hex));
        code += 1;
      }
    }
  return table;
}

/** One line for each text object; a text of the chart comes glyph by glyph, without its spaces, in one object. */
function shownText(content: string, fonts: Map<string, Map<string, string>>): string {
  const lines: string[] = [];
  let font: Map<string, string> | undefined;
  for (const [, object = ''] of content.matchAll(/(?:^|\n)BT\n([\s\S]*?)\nET(?=\n|$)/g)) {
    let line = '';
    for (const [, name, array, single] of object.matchAll(/\/(F\d+) [\d.]+ Tf|(\[[^\]]*\]) TJ|(<[0-9a-f]*>) Tj/g)) {
      if (name !== undefined) font = fonts.get(name);
      const hex = [...(array ?? single ?? '').matchAll(/<([0-9a-f]*)>/g)].map((match) => match[1]).join('');
      line += (hex.match(/.{4}/g) ?? []).map((code) => font?.get(code) ?? '\ufffd').join('');
    }
    // Each piece ends in a blank that only keeps it apart from the next.
    lines.push(line.trimEnd());
  }
  return lines.join('\n').replaceAll('\u00a0', ' ');
}
