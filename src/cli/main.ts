#!/usr/bin/env node
import { exitCodes } from './exit-codes.js';
import { letGoOfGoneTerminal } from './gone-terminal.js';
import { oldNode } from './node-fit.js';
import { runCommand } from './run.js';

const tooOld = oldNode(process.versions.node);
if (tooOld !== null) {
  console.error(tooOld);
  process.exit(exitCodes.usage);
}

letGoOfGoneTerminal();

// A reader that closes early (`dwellmark list | head`), or a terminal that is gone, is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE' || error.code === 'EIO') process.exit(process.exitCode ?? 0);
  throw error;
});

process.exitCode = await runCommand(process.argv.slice(2));
