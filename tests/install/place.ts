import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

export const root = path.resolve(import.meta.dirname, '../..');

/** Plain tools that npm, git and a shell need: no compiler, no make, no Python. */
const tools = ['sh', 'env', 'git', 'bash', 'uname', 'ls', 'cat', 'sed', 'rm', 'mkdir', 'cp', 'mv', 'chmod', 'dirname'];

/** A folder for an installation, a PATH of its own in it, and what is run there. */
export class Place {
  readonly folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-install-'));
  readonly #path: string;

  /** @param node the Node.js that is found first, as a program's path; npm is the system's. */
  constructor(node: string) {
    this.#path = path.join(this.folder, 'bin');
    mkdirSync(this.#path);
    symlinkSync(node, path.join(this.#path, 'node'));
    for (const tool of [...tools, 'npm', 'npx']) {
      const found = (process.env.PATH ?? '').split(':').map((folder) => path.join(folder, tool));
      const first = found.find((file) => existsSync(file));
      if (first === undefined) throw new Error(`${tool} is not on this machine`);
      symlinkSync(first, path.join(this.#path, tool));
    }
  }

  at = (...parts: readonly string[]): string => path.join(this.folder, ...parts);

  /** Runs a line of shell; what it printed. @throws Error with all of its output when it fails. */
  run(line: string, cwd = this.folder): string {
    // Without what an npm that runs the tests says of itself.
    const own = Object.entries(process.env).filter(([name]) => !/^(?:npm_|NODE_OPTIONS|VITEST|DWELLMARK)/.test(name));
    const env = { ...Object.fromEntries(own), PATH: this.#path };
    const options = { cwd, env, encoding: 'utf8', timeout: 540_000 } as const;
    const { status, stdout, stderr } = spawnSync('sh', ['-c', line], options);
    if (status !== 0) throw new Error(`${line}: exit code ${status}\n${stdout}\n${stderr}`);
    return stdout;
  }

  /** Takes a binary of Node.js from the registry. @param major as in `24`. */
  static node(major: string): string {
    const place = mkdtempSync(path.join(tmpdir(), `node-${major}-`));
    const name = `node-linux-${process.arch}`;
    const { status, stderr } = spawnSync('npm', ['install', '--no-save', '--prefix', place, `${name}@${major}`]);
    if (status !== 0) throw new Error(String(stderr));
    return path.join(place, 'node_modules', name, 'bin/node');
  }

  remove = (): void => rmSync(this.folder, { recursive: true, force: true });
}

/** The papers that a demo has left in its folder. */
export function papersIn(folder: string): readonly string[] {
  const papers = readdirSync(folder).filter((name) => name.endsWith('.pdf'));
  return papers.filter((name) => readFileSync(path.join(folder, name)).subarray(0, 5).toString() === '%PDF-');
}

/** Width and height of a PNG, from its header. */
export function pngSize(file: string): readonly [width: number, height: number] {
  const bytes = readFileSync(file);
  if (bytes.subarray(1, 4).toString() !== 'PNG') throw new Error(`${file} is no PNG`);
  return [bytes.readUInt32BE(16), bytes.readUInt32BE(20)];
}
