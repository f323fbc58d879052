#!/usr/bin/env node
import { exitCodes } from './exit-codes.js';
import { oldNode } from './node-fit.js';
import { preparedAnswer } from './prepared-answer.js';

// A reader that closes early (`dwellmark list | head`), or a terminal that is gone, is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE' || error.code === 'EIO') process.exit(process.exitCode ?? 0);
  throw error;
});

const tooOld = oldNode(process.versions.node);
const answer = tooOld === null ? preparedAnswer(process.argv.slice(2)) : null;
if (tooOld !== null) {
  console.error(tooOld);
  process.exitCode = exitCodes.usage;
} else if (answer !== null) {
  process.stdout.write(answer);
} else {
  const { letGoOfGoneTerminal } = await import('./gone-terminal.js');
  letGoOfGoneTerminal();
  const { runCommand } = await import('./run.js');
  process.exitCode = await runCommand(process.argv.slice(2));
}
