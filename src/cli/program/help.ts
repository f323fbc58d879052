import { Argument, type Command } from 'commander';
import { shells } from '../reference/completion.js';
import { examples } from './command.js';

/** Commands about dwellmark itself: help by topic, completions, the manual page, the version. */
export function help(program: Command): void {
  program.helpCommand(false);
  program
    .command('help')
    .description('read about a topic, a command, or the keys of a file')
    .argument('[words...]', 'a topic, or a command; all topics when absent')
    .option(
      '--schema',
      'of job-file, procedure-file, gauge-table, gauge-line or shop-file: its JSON schema, for an editor',
    )
    .option('--width <n>', 'set it in lines of this width', Number)
    .addHelpText('after', examples('dwellmark help trouble', 'dwellmark help gauge add', 'dwellmark help job-file'))
    .action(async (words, options) => (await import('../commands/help.js')).run(program, words, options));

  program
    .command('completion')
    .description('print a script that completes commands and options in a shell')
    .addArgument(new Argument('<shell>', 'which shell').choices([...shells]))
    .addHelpText('after', examples('eval "$(dwellmark completion bash)"', 'dwellmark completion fish | source'))
    .action(async (shell) => (await import('../commands/help.js')).completion(program, shell));

  program
    .command('man')
    .description('print the manual page')
    .addHelpText('after', examples('dwellmark man | man -l -'))
    .action(async () => (await import('../commands/help.js')).man(program));

  program
    .command('version')
    .description('print the versions of dwellmark, Node.js and SQLite')
    .option('--json', 'JSON and nothing else on stdout')
    .action(async (options) => (await import('../commands/help.js')).version(options));
}
