import { execFileSync } from 'node:child_process';

/**
 * Asks a Python program of Debian's packages (the system's own interpreter, whatever else is installed): JSON in on
 * standard input, whose numbers are exact, JSON out.
 */
export const askPython = (program: string, input: unknown = null): unknown =>
  JSON.parse(
    execFileSync('/usr/bin/python3', ['-c', program], {
      input: JSON.stringify(input),
      maxBuffer: 1 << 28,
      encoding: 'utf8',
    }),
  );

export const relative = (value: number, expected: number): number => Math.abs(value - expected) / Math.abs(expected);
