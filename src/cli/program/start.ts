import { type Command, Option } from 'commander';
import { command, examples, unitNames, whole } from './command.js';

/** Commands to begin with. */
export function start(program: Command): void {
  command(program, 'demo', 'the whole job on the simulated gauge, in under a minute')
    .option('-o, --output <dir>', 'folder to write to', 'dwellmark-demo')
    .option('--seed <n>', 'seed of the simulated noise', whole, 7)
    .addHelpText('after', examples('dwellmark demo', 'dwellmark demo -o /tmp/demo'))
    .action(async (options) => (await import('../commands/demo.js')).run(options));

  command(program, 'init', 'make the shop file, its record and its first people')
    .option('--name <text>', "the shop's name")
    .option('--address <text>', "the shop's address, printed on certificates")
    .addOption(new Option('--units <unit>', 'units to read and print').choices(unitNames))
    .addOption(new Option('--paper <size>', 'paper of the certificates').choices(['A4', 'Letter']))
    .option('--signer <name>', 'printed name of the first signer (role QA)')
    .option(
      '--administrator <name>',
      'printed name of the first administrator, who enrols people; the same as the signer when absent',
    )
    .option(
      '--passphrase-fd <n>',
      "read the signer's passphrase from this file descriptor; a second line is the administrator's",
      whole,
    )
    .option('--yes', 'ask nothing: take what is given and the defaults')
    .addHelpText('after', examples('dwellmark init', 'dwellmark init --yes --name "Harrow Fell Hydraulics"'))
    .action(async (options) => (await import('../commands/init.js')).run(options));
}
