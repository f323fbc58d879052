import { CommanderError } from 'commander';
import { buildProgram } from './program.js';

/** One command from its arguments (without node and script): the exit code. What it says goes to stdout and stderr. */
export async function runCommand(args: readonly string[]): Promise<number> {
  try {
    await buildProgram().parseAsync([...args], { from: 'user' });
  } catch (error) {
    // Help and version end this way, and want nothing else loaded.
    if (error instanceof CommanderError && error.exitCode === 0) return 0;
    const { reportFailure } = await import('./failure.js');
    return reportFailure(error, args.includes('--debug'));
  }
  return Number(process.exitCode ?? 0);
}
