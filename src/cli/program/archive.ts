import type { Command } from 'commander';
import { command, examples } from './command.js';

/** Where an archive is: with the option alone, what the environment or the shop file says. */
export const archiveOption = [
  '--archive [url]',
  'look in the archive: postgres://login@host/database, else DWELLMARK_ARCHIVE, else the shop file',
] as const;

/** Commands for the archive of many benches. */
export function archive(program: Command): void {
  const group = program.command('archive').description('many benches, one archive in PostgreSQL: push, pull, status');
  command(group, 'prepare', 'make an empty archive in a database, as its owner')
    .option(...archiveOption)
    .addHelpText(
      'after',
      `${examples('dwellmark archive prepare --archive postgres://archivist@archive.example/dwellmark')}

Then give each bench a login of its own, and each reader one:
  CREATE ROLE bench_1 LOGIN PASSWORD '...' IN ROLE dwellmark_bench;
  CREATE ROLE auditor LOGIN PASSWORD '...' IN ROLE dwellmark_reader;`,
    )
    .action(async (options) => (await import('../commands/archive.js')).prepare(options));

  command(group, 'push', "bring the archive up to this bench's record; goes on where it stopped")
    .option(...archiveOption)
    .addHelpText(
      'after',
      examples(
        'dwellmark archive push',
        'dwellmark archive push --archive postgres://bench_1@archive.example/dwellmark',
      ),
    )
    .action(async (options) => (await import('../commands/archive.js')).push(options));

  command(group, 'pull', "write a bench's record from the archive into a new file")
    .argument('<bench>', 'name of the bench')
    .requiredOption('-o, --output <file>', 'file to write; it must not be there yet')
    .option(...archiveOption)
    .addHelpText('after', examples('dwellmark archive pull "Bench 2" -o bench-2.db'))
    .action(async (bench, options) => (await import('../commands/archive.js')).pull(bench, options));

  command(group, 'status', 'what the archive holds of each bench, and what waits here')
    .option(...archiveOption)
    .addHelpText('after', examples('dwellmark archive status', 'dwellmark archive status --json'))
    .action(async (options) => (await import('../commands/archive.js')).status(options));
}
