#!/usr/bin/env node
import { runCommand } from './run.js';

// A reader that closes early (`dwellmark list | head`) is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? 0);
  throw error;
});

process.exitCode = await runCommand(process.argv.slice(2));
