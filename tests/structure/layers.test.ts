import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { parseSync } from 'oxc-parser';
import { describe, expect, it } from 'vitest';

/** The order of the house: a folder imports only from folders before it. */
const order = [
  'units',
  'hydraulics',
  'procedure',
  'gauge',
  'holdtest',
  'evaluation',
  'record',
  'signing',
  'certificate',
  'audit',
  'page',
  'archive',
  'bench',
  'quality',
  'help',
  'desk',
  'cli',
];
const core = ['units', 'hydraulics', 'procedure', 'holdtest', 'evaluation'];
const driverMayImport = ['gauge', 'hydraulics'];
/** What would make the core depend on when or where it runs. */
const forbiddenInCore = ['performance', 'process', 'console', 'setTimeout', 'setInterval', 'fetch', 'crypto'];

const root = path.resolve(import.meta.dirname, '../..');

interface Import {
  readonly file: string;
  readonly from: string;
}

const sourceFiles = (folder: string): string[] =>
  readdirSync(path.join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith('.d.ts'))
    .map((name) => path.join(folder, name));

/** A node of the syntax tree (ESTree), and where its text stands. */
interface SyntaxNode {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

interface Source {
  readonly text: string;
  readonly body: readonly SyntaxNode[];
}

function parseText(name: string, text: string): Source {
  const { program, errors } = parseSync(name, text);
  if (errors[0]) throw new Error(`${name}: ${errors[0].message}`);
  return { text, body: program.body as unknown as SyntaxNode[] };
}

/** Files as they were parsed: several rules read the same ones. */
const parsed = new Map<string, Source>();

function parse(file: string): Source {
  const source = parsed.get(file) ?? parseText(file, readFileSync(path.join(root, file), 'utf8'));
  parsed.set(file, source);
  return source;
}

const isNode = (value: unknown): value is SyntaxNode =>
  typeof value === 'object' && value !== null && typeof (value as SyntaxNode).type === 'string';

/** Visits every node, in the order of the text. */
function visitNodes(nodes: readonly unknown[], visit: (node: SyntaxNode) => void): void {
  for (const node of nodes) {
    if (Array.isArray(node)) visitNodes(node, visit);
    else if (isNode(node)) {
      visit(node);
      visitNodes(Object.values(node), visit);
    }
  }
}

const textOf = (source: Source, node: unknown): string => (isNode(node) ? source.text.slice(node.start, node.end) : '');

const textValue = (node: unknown): string | undefined =>
  isNode(node) && node.type === 'Literal' && typeof node.value === 'string' ? node.value : undefined;

/** Every import, export-from and import() of a file. */
function importsOf(source: Source): string[] {
  const found: string[] = [];
  visitNodes(source.body, (node) => {
    if (!/^(?:ImportDeclaration|ExportNamedDeclaration|ExportAllDeclaration|ImportExpression)$/.test(node.type)) return;
    const from = textValue(node.source);
    if (from !== undefined) found.push(from);
  });
  return found;
}

/** Names used as values that reach outside: `Date.now`, `Math.random`, `console`. */
function reachesOutside(source: Source): string[] {
  const found: string[] = [];
  visitNodes(source.body, (node) => {
    const text = textOf(source, node);
    if (node.type === 'MemberExpression' && ['Math.random', 'Date.now'].includes(text)) found.push(text);
    if (node.type === 'NewExpression' && textOf(source, node.callee) === 'Date' && !(node.arguments as []).length)
      found.push('new Date()');
    const used = node.type === 'MemberExpression' ? node.object : node.type === 'CallExpression' ? node.callee : null;
    if (isNode(used) && used.type === 'Identifier' && forbiddenInCore.includes(textOf(source, used)))
      found.push(textOf(source, used));
  });
  return found;
}

/** Functions of the engine that may differ in the last digit from one version to the next; `src/units/arithmetic` has its own. */
const engineArithmetic = [
  'exp',
  'expm1',
  'log',
  'log10',
  'log1p',
  'log2',
  'pow',
  'sin',
  'cos',
  'tan',
  'atan',
  'hypot',
  'cbrt',
];

function engineFigures(source: Source): string[] {
  const found: string[] = [];
  visitNodes(source.body, (node) => {
    const ofMath = node.type === 'MemberExpression' && textOf(source, node.object) === 'Math';
    if (ofMath && engineArithmetic.includes(textOf(source, node.property))) found.push(textOf(source, node));
    if (node.operator === '**' || node.operator === '**=') found.push(textOf(source, node));
  });
  return found;
}

/** Packages that are loaded with a file: by itself, or by what it imports at once. Types are not loaded. */
function packagesLoadedBy(start: string): string[] {
  const packages = new Set<string>();
  const seen = new Set<string>();
  const load = (file: string): void => {
    if (seen.has(file)) return;
    seen.add(file);
    for (const { importKind, exportKind, source } of parse(file).body) {
      const from = textValue(source);
      if (importKind === 'type' || exportKind === 'type' || from === undefined || from.startsWith('node:')) continue;
      if (from.startsWith('.')) load(target({ file, from }).replace(/\.js$/, '.ts'));
      else packages.add(from);
    }
  };
  load(start);
  return [...packages].sort();
}

const folderOf = (file: string): string => file.split(path.sep)[1] ?? '';

const allImports = (folder: string): Import[] =>
  sourceFiles(folder).flatMap((file) => importsOf(parse(file)).map((from) => ({ file, from })));

/** `src/units` for `../units/index.js` seen from a file of `src/gauge`. */
const target = ({ file, from }: Import): string => path.normalize(path.join(path.dirname(file), from));

describe('the house', () => {
  const inSrc = allImports('src').filter(({ from }) => from.startsWith('.'));

  it('has only the folders it was planned with', () => {
    const folders = readdirSync(path.join(root, 'src'), { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(folders.map((entry) => entry.name).sort()).toEqual([...order].sort());
  });

  it('a folder imports only from folders above it', () => {
    const wrong = inSrc.filter((found) => {
      const to = target(found);
      if (!to.startsWith(`src${path.sep}`)) return false;
      return order.indexOf(folderOf(to)) > order.indexOf(folderOf(found.file));
    });
    expect(wrong).toEqual([]);
  });

  it('a folder is entered through its face', () => {
    const wrong = inSrc.filter((found) => {
      const to = target(found);
      return (
        to.startsWith(`src${path.sep}`) && folderOf(to) !== folderOf(found.file) && to.split(path.sep)[2] !== 'index.js'
      );
    });
    expect(wrong).toEqual([]);
  });

  it('only the bench, the reference and the command line reach for drivers', () => {
    const wrong = inSrc.filter(
      (found) =>
        target(found).startsWith(`drivers${path.sep}`) && !['bench', 'help', 'cli'].includes(folderOf(found.file)),
    );
    expect(wrong).toEqual([]);
  });

  it('drivers import only the gauge contract and the hydraulics', () => {
    const wrong = allImports('drivers').filter((found) => {
      const to = target(found);
      if (!found.from.startsWith('.') || to.startsWith(`drivers${path.sep}`)) return false;
      return !driverMayImport.some((folder) => to === path.join('src', folder, 'index.js'));
    });
    expect(wrong).toEqual([]);
  });

  it.each(core)('%s has no clock, no chance, no console and nothing of node', (folder) => {
    const files = sourceFiles(path.join('src', folder));
    const node = allImports(path.join('src', folder)).filter(({ from }) => from.startsWith('node:'));
    const outside = files.flatMap((file) => reachesOutside(parse(file)).map((name) => ({ file, name })));
    expect([...node, ...outside]).toEqual([]);
  });
});

/** A command starts as fast as what it loads: each of these packages takes its time. */
describe('at its start', () => {
  it('help that was prepared loads nothing, and every other the command line alone', () => {
    expect(packagesLoadedBy('src/cli/main.ts')).toEqual([]);
    expect(packagesLoadedBy('src/cli/run.ts')).toEqual(['commander']);
  });

  it.each(['list', 'show'])('%s loads what reads a record: no PDF writer, no serial port, no server', (command) => {
    expect(packagesLoadedBy(`src/cli/commands/${command}.ts`)).toEqual([
      'better-sqlite3',
      'canonicalize',
      'smol-toml',
      'zod',
    ]);
  });

  it('setting a paper loads the PDF writer', () => {
    expect(packagesLoadedBy('src/certificate/render.ts')).toContain('pdfkit');
  });
});

describe('the rule itself', () => {
  const source = (text: string) => parseText('x.ts', text);

  it('sees every way to import', () => {
    const text =
      "import a from './a.js'; export * from './b.js'; const c = await import('./c.js'); import type { D } from './d.js';";
    expect(importsOf(source(text))).toEqual(['./a.js', './b.js', './c.js', './d.js']);
  });

  it('sees clocks and chance, and not names that only look like them', () => {
    expect(
      reachesOutside(source('const t = Date.now() + Math.random() + +new Date(); console.log(process.pid);')),
    ).toEqual(['Date.now', 'Math.random', 'new Date()', 'console', 'process']);
    expect(reachesOutside(source('const process = 1; f(process); const t = Date.parse(s);'))).toEqual([]);
  });

  it.each(core.filter((folder) => folder !== 'units'))('%s computes the same on every engine', (folder) => {
    const found = sourceFiles(path.join('src', folder)).flatMap((file) =>
      engineFigures(parse(file)).map((name) => ({ file, name })),
    );
    expect(found).toEqual([]);
  });
});
