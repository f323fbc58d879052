/** One step of a key's path: a name, or the place in an array of tables counted from 0. */
export type PathPart = string | number;

const bareOrQuoted = `(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')`;
const dottedKey = new RegExp(String.raw`^\s*(${bareOrQuoted}(?:\s*\.\s*${bareOrQuoted})*)\s*=`);
const tableHeader = new RegExp(
  String.raw`^\s*(\[\[?)\s*(${bareOrQuoted}(?:\s*\.\s*${bareOrQuoted})*)\s*\]\]?\s*(?:#.*)?$`,
);

/**
 * Where each key of a TOML text stands, so that an error found after parsing can name a line. The text must have
 * parsed: this reads only headers and the starts of lines, and steps over strings that run over several lines.
 * @example keyLines('a = 1\n[[port]]\nname = "A"')(['port', 0, 'name']) // 3
 */
export function keyLines(text: string): (path: readonly PathPart[]) => number | undefined {
  const lines = new Map<string, number>();
  const arrayLengths = new Map<string, number>();
  let table: PathPart[] = [];
  let open: '"""' | "'''" | null = null;

  for (const [index, line] of text.split('\n').entries()) {
    const startsInside = open !== null;
    open = openAfter(line, open);
    if (startsInside) continue;
    const header = tableHeader.exec(line);
    if (header?.[2] !== undefined) {
      table = resolve(names(header[2]), arrayLengths, header[1] === '[[');
      note(table, index + 1);
      if (header[1] === '[[') note(table.slice(0, -1), index + 1);
      continue;
    }
    const key = dottedKey.exec(line)?.[1];
    if (key !== undefined) note([...table, ...names(key)], index + 1);
  }

  /** The line of the key itself, or of the nearest thing around it: its inline table, its header. */
  return (path) => {
    for (let length = path.length; length > 0; length -= 1) {
      const line = lines.get(spot(path.slice(0, length)));
      if (line !== undefined) return line;
    }
    return undefined;
  };

  function note(path: readonly PathPart[], line: number): void {
    const at = spot(path);
    if (!lines.has(at)) lines.set(at, line);
  }
}

/** `port[1].position`: places counted from 1, as a person counts. */
export const keyName = (path: readonly PathPart[]): string =>
  path.reduce<string>(
    (name, part) => (typeof part === 'number' ? `${name}[${part + 1}]` : name === '' ? part : `${name}.${part}`),
    '',
  );

const spot = (path: readonly PathPart[]): string => JSON.stringify(path);

const names = (dotted: string): string[] =>
  [...dotted.matchAll(new RegExp(bareOrQuoted, 'g'))].map(([name]) => name.replace(/^["']|["']$/g, ''));

/** A header's path with the places of arrays of tables put in; `[[x]]` begins the next table of `x`. */
function resolve(dotted: readonly string[], arrayLengths: Map<string, number>, begins: boolean): PathPart[] {
  const path: PathPart[] = [];
  for (const [index, name] of dotted.entries()) {
    path.push(name);
    const at = spot(path);
    const length = arrayLengths.get(at);
    if (begins && index === dotted.length - 1) {
      arrayLengths.set(at, (length ?? 0) + 1);
      path.push(length ?? 0);
    } else if (length !== undefined) path.push(length - 1);
  }
  return path;
}

/** Which long string, if any, is still open at the end of a line. */
function openAfter(line: string, before: '"""' | "'''" | null): '"""' | "'''" | null {
  let open = before;
  for (let at = 0; at < line.length; ) {
    const three = line.slice(at, at + 3);
    if (open !== null) {
      if (three === open) {
        open = null;
        at += 3;
      } else at += open === '"""' && line[at] === '\\' ? 2 : 1;
    } else if (three === '"""' || three === "'''") {
      open = three;
      at += 3;
    } else if (line[at] === '"' || line[at] === "'") {
      at = afterString(line, at);
    } else if (line[at] === '#') return null;
    else at += 1;
  }
  return open;
}

function afterString(line: string, start: number): number {
  const quote = line[start];
  for (let at = start + 1; at < line.length; at += 1) {
    if (quote === '"' && line[at] === '\\') at += 1;
    else if (line[at] === quote) return at + 1;
  }
  return line.length;
}
