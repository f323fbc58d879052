#!/usr/bin/env node
import { reportFailure } from './failure.js';
import { buildProgram } from './program.js';

// A reader that closes early (`dwellmark list | head`) is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? 0);
  throw error;
});

try {
  await buildProgram().parseAsync(process.argv);
} catch (error) {
  process.exitCode = reportFailure(error, process.argv.includes('--debug'));
}
