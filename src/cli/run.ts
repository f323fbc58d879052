import { reportFailure } from './failure.js';
import { buildProgram } from './program.js';

/** One command from its arguments (without node and script): the exit code. What it says goes to stdout and stderr. */
export async function runCommand(args: readonly string[]): Promise<number> {
  try {
    await buildProgram().parseAsync([...args], { from: 'user' });
  } catch (error) {
    return reportFailure(error, args.includes('--debug'));
  }
  return Number(process.exitCode ?? 0);
}
