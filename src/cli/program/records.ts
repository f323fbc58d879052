import { type Command, Option } from 'commander';
import { command, examples, whole } from './command.js';

/** Commands that find and read records. */
export function records(program: Command): void {
  command(program, 'list', 'find records')
    .option('--customer <text>', 'of this customer')
    .option('--serial <text>', "cylinder's serial")
    .option('--work-order <text>', 'work order')
    .option('--gauge <serial>', 'made with this gauge')
    .option('--person <name>', 'run or signed by')
    .addOption(
      new Option('--verdict <word>', 'with this verdict').choices([
        'pass',
        'fail',
        'inconclusive',
        'invalid',
        'unsealed',
      ]),
    )
    .option('--since <date>', 'started on or after')
    .option('--until <date>', 'started on or before')
    .option('--text <words>', 'words in the job or the notes')
    .option('--limit <n>', 'at most so many', whole)
    .addHelpText(
      'after',
      examples('dwellmark list --verdict fail', 'dwellmark list --customer quarry --since 2026-01-01'),
    )
    .action(async (options) => (await import('../commands/list.js')).run(options));

  command(program, 'show', 'read a record')
    .argument('<test>', 'test, e.g. T-2026-0007')
    .addHelpText('after', examples('dwellmark show T-2026-0007', 'dwellmark show T-2026-0007 --json'))
    .action(async (test, options) => (await import('../commands/show.js')).run(test, options));

  command(program, 'export', 'hand records on in forms that other programs read')
    .argument('<tests...>', 'one or more tests, e.g. T-2026-0007')
    .option('--format <names>', 'csv, json, parquet or bundle; several with commas between', 'csv')
    .option('-o, --output <path>', 'file to write, or the folder for several; stdout when absent')
    .addHelpText(
      'after',
      `${examples(
        'dwellmark export T-2026-0007 -o trace.csv',
        'dwellmark export T-2026-0007 --format csv,json,parquet -o out',
        'dwellmark export T-2026-0007 --format bundle -o T-2026-0007.bundle.jsonl',
      )}

A bundle is verified by any other dwellmark without this shop: dwellmark verify FILE.`,
    )
    .action(async (tests, options) => (await import('../commands/export-test.js')).run(tests, options));
}
