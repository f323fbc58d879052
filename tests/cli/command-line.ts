import { vi } from 'vitest';
import { runCommand } from '../../src/cli/run.js';

export interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** A command run in this process, as `dwellmark ...` would: what it wrote, and the exit code. */
export async function dwellmark(...args: readonly string[]): Promise<Said> {
  const out: string[] = [];
  const err: string[] = [];
  const spies = [
    vi.spyOn(process.stdout, 'write').mockImplementation((piece) => out.push(String(piece)) > 0),
    vi.spyOn(process.stderr, 'write').mockImplementation((piece) => err.push(String(piece)) > 0),
    vi.spyOn(console, 'error').mockImplementation((line) => void err.push(`${line}\n`)),
  ];
  const before = process.exitCode;
  process.exitCode = undefined;
  const code = await runCommand(args);
  process.exitCode = before;
  for (const spy of spies) spy.mockRestore();
  return { code, out: out.join(''), err: err.join('') };
}
