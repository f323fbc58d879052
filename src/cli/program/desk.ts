import type { Command } from 'commander';
import { command, examples, whole } from './command.js';

/** The record in a browser. */
export function desk(program: Command): void {
  command(program, 'desk', 'the record in a browser on this computer: review, sign, papers, recall, live')
    .option('--port <n>', 'port to listen at; any that is free when absent', whole, 0)
    .option('--listen <address>', 'listen beyond this computer, for a big screen; not encrypted')
    .addHelpText('after', examples('dwellmark desk', 'dwellmark desk --port 7391'))
    .action(async (options) => (await import('../commands/desk.js')).run(options));
}
