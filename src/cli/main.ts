#!/usr/bin/env node
import { letGoOfGoneTerminal } from './gone-terminal.js';
import { runCommand } from './run.js';

letGoOfGoneTerminal();

// A reader that closes early (`dwellmark list | head`), or a terminal that is gone, is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE' || error.code === 'EIO') process.exit(process.exitCode ?? 0);
  throw error;
});

process.exitCode = await runCommand(process.argv.slice(2));
