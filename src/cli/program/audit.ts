import type { Command } from 'commander';
import { command, examples, number } from './command.js';

/** Commands of the auditor. */
export function audit(program: Command): void {
  command(program, 'replay', 'watch a test again, judge it again')
    .argument('<test>', 'test, e.g. T-2026-0007')
    .option('--speed <n>', 'times real time; as fast as possible when absent', number)
    .option('--procedure <file>', 'judge by another procedure, beside the original')
    .addHelpText(
      'after',
      examples('dwellmark replay T-2026-0007', 'dwellmark replay T-2026-0007 --procedure stricter.toml'),
    )
    .action(async (test, options) => (await import('../commands/replay.js')).run(test, options));

  command(program, 'verify', 'prove that nothing was altered')
    .argument('[what]', 'a test, a bundle or a certificate PDF; the whole store when absent')
    .option('--all', 'every test of the store')
    .option('--root <file>', "the shop's root certificate (PEM), to check whose signature a PDF bears")
    .option('--anchor <mark>', 'POSITION:HEAD from a certificate: prove that the store still contains it')
    .addHelpText(
      'after',
      examples('dwellmark verify --all', 'dwellmark verify T-2026-0007', 'dwellmark verify HF-2026-0012.pdf'),
    )
    .action(async (what, options) => (await import('../commands/verify.js')).run(what, options));

  command(program, 'recall', 'every certificate that leans on a gauge')
    .requiredOption('--gauge <serial>', 'serial of the gauge')
    .option('--since <date>', 'from this day')
    .option('--until <date>', 'to this day')
    .option('--reads-high <percent>', 'judge again as if the gauge had read so many percent high', number)
    .option('--offset-bar <bar>', 'judge again as if the gauge had read so many bar high', number)
    .addHelpText('after', examples('dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high 1'))
    .action(async (options) => (await import('../commands/recall.js')).run(options));
}
