import { type ChildProcess, execFile, execFileSync, spawn } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { openStore, type Store } from '../../src/record/index.js';

const root = fileURLToPath(new URL('../../', import.meta.url));
/** The command line as it is installed: the slow suites build it first. */
const program = [path.join(root, 'dist/src/cli/main.js')];

/** `node ... dwellmark` and arguments, quoted for a shell. */
export const commandLine = (...args: string[]): string =>
  [process.execPath, ...program, ...args].map((arg) => `'${arg}'`).join(' ');

/** Starts the program with no terminal. */
export function startProgram(args: readonly string[]): { readonly child: ChildProcess; readonly said: () => string } {
  const child = spawn(process.execPath, [...program, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let said = '';
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (piece: Buffer) => {
      said += piece.toString();
    });
  return { child, said: () => said };
}

/** Runs it to its end. */
export function runProgram(args: readonly string[]): Promise<{ readonly code: number | null; readonly said: string }> {
  const { child, said } = startProgram(args);
  return new Promise((resolve) => child.on('close', (code) => resolve({ code, said: said() })));
}

/** A look into a shop's record, beside whoever writes it. */
export function withStore<T>(folder: string, look: (store: Store) => T): T {
  const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
  try {
    return look(store);
  } finally {
    store.close();
  }
}

export async function until(what: string, true_: () => boolean, withinMs = 60_000): Promise<void> {
  const endMs = performance.now() + withinMs;
  while (!true_()) {
    if (performance.now() > endMs) throw new Error(`waited ${withinMs} ms in vain: ${what}`);
    await new Promise((go) => setTimeout(go, 100));
  }
}

let terminals = 0;

/** A terminal of a size, driven by keys and read as text. */
export class TmuxTerminal {
  readonly #socket = `dwellmark-test-${process.pid}-${Math.floor(performance.now())}-${++terminals}`;

  /** @param exitFile takes the program's exit code, also when it ends after the terminal was closed. */
  constructor(
    size: { readonly columns: number; readonly rows: number },
    command: string,
    env = 'LC_ALL=C.UTF-8',
    exitFile = '/dev/null',
  ) {
    const left = `code=$?; echo $code > '${exitFile}'; [ -n "$closed" ] || { echo "left with $code"; sleep 600; }`;
    const whole = `trap closed=1 HUP; ${env} ${command}; ${left}`;
    this.#tmux('-f', '/dev/null', 'new-session', '-d', '-x', String(size.columns), '-y', String(size.rows), whole);
  }

  keys(...keys: string[]): void {
    this.#tmux('send-keys', ...keys);
  }

  /** Text as it is typed, letter by letter. */
  type(text: string): void {
    this.#tmux('send-keys', '-l', text);
  }

  resize(columns: number, rows: number): void {
    this.#tmux('resize-window', '-x', String(columns), '-y', String(rows));
  }

  screen(): string {
    return this.#tmux('capture-pane', '-p').replaceAll('\u00a0', ' ');
  }

  /** The same, while everything else in this process goes on: a gauge that talks must not stutter. */
  async look(): Promise<string> {
    const { stdout } = await promisify(execFile)('tmux', ['-L', this.#socket, 'capture-pane', '-p']);
    return stdout.replaceAll('\u00a0', ' ');
  }

  /** The screen with its colours, as escape sequences. */
  painted(): string {
    return this.#tmux('capture-pane', '-p', '-e');
  }

  async shows(text: string | RegExp, withinMs = 60_000): Promise<string> {
    const endMs = performance.now() + withinMs;
    for (;;) {
      const screen = await this.look();
      if (typeof text === 'string' ? screen.includes(text) : text.test(screen)) return screen;
      if (performance.now() > endMs) throw new Error(`waited ${withinMs} ms in vain: ${text}\n${screen}`);
      await new Promise((go) => setTimeout(go, 100));
    }
  }

  /** Keeps the bytes that the program sends to the terminal from now on. */
  record(file: string): void {
    this.#tmux('pipe-pane', '-o', `cat > '${file}'`);
  }

  /** Process ids below the terminal's shell. */
  processes(): number[] {
    const shell = this.#tmux('list-panes', '-F', '#{pane_pid}').trim();
    return execFileSync('pgrep', ['-P', shell], { encoding: 'utf8' }).trim().split('\n').map(Number);
  }

  /** Closes the terminal as a person closes a window. */
  close(): void {
    try {
      this.#tmux('kill-server');
    } catch {
      // It was closed before.
    }
  }

  #tmux(...args: string[]): string {
    return execFileSync('tmux', ['-L', this.#socket, ...args], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
  }
}
