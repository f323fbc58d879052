import { type Command, Option } from 'commander';
import { archiveOption } from './archive.js';
import { command, examples, numberOf, numbersOf, whole } from './command.js';

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
    .option('--procedure <id>', 'by this procedure')
    .option('--limit <n>', 'at most so many', whole)
    .option('--csv', 'CSV and nothing else on stdout')
    .option(...archiveOption)
    .option('--bench <name>', 'with --archive: of this bench')
    .addHelpText(
      'after',
      examples(
        'dwellmark list --verdict fail',
        'dwellmark list --customer quarry --since 2026-01-01',
        'dwellmark list --text "gland weep"',
        'dwellmark list --gauge "SN 40117" --csv',
      ),
    )
    .action(async (options) =>
      options.archive
        ? (await import('../commands/archived.js')).list(options)
        : (await import('../commands/list.js')).run(options),
    );

  command(program, 'show', 'read a record, or the history of a cylinder')
    .argument('[test]', 'test, e.g. T-2026-0007', numberOf)
    .option('--cylinder <serial>', "instead of a test: all of a cylinder's holds, with the trend of its leak")
    .option('--csv', 'of a cylinder: CSV and nothing else on stdout')
    .option(...archiveOption)
    .addHelpText(
      'after',
      examples('dwellmark show T-2026-0007', 'dwellmark show T-2026-0007 --json', 'dwellmark show --cylinder TQ-3394'),
    )
    .action(async (test, options) =>
      options.archive
        ? (await import('../commands/archived.js')).show(test, options)
        : (await import('../commands/show.js')).run(test, options),
    );

  command(program, 'compare', 'a cylinder as found and as left: what became of its leak')
    .argument('<cylinder>', "the cylinder's serial: its last pair; or the test as found", numberOf)
    .argument('[test]', 'the test as left', numberOf)
    .option('-o, --output <file>', 'also as one page, PDF')
    .addHelpText(
      'after',
      examples('dwellmark compare TQ-3394', 'dwellmark compare T-2026-0007 T-2026-0012 -o as-found-as-left.pdf'),
    )
    .action(async (found, left, options) => (await import('../commands/compare.js')).run(found, left, options));

  command(program, 'export', 'hand records on in forms that other programs read')
    .argument('<tests...>', 'one or more tests, e.g. T-2026-0007', numbersOf)
    .option('--format <names>', 'csv, json, xlsx, parquet, html, png or bundle; several with commas between', 'csv')
    .option('-o, --output <path>', 'file to write, or the folder for several; stdout when absent or -')
    .addHelpText(
      'after',
      `${examples(
        'dwellmark export T-2026-0007 -o trace.csv',
        'dwellmark export T-2026-0007 --format csv,json,parquet -o out',
        'dwellmark export T-2026-0007 --format xlsx -o T-2026-0007.xlsx',
        'dwellmark export T-2026-0007 --format html -o T-2026-0007.html',
        'dwellmark export T-2026-0007 --format png -o T-2026-0007.png',
        'dwellmark export T-2026-0007 --format bundle -o T-2026-0007.bundle.jsonl',
      )}

A bundle is verified by any other dwellmark without this shop: dwellmark verify FILE.`,
    )
    .action(async (tests, options) => (await import('../commands/export-test.js')).run(tests, options));

  command(program, 'hook', 'hand a sealed test or an issued paper to the hook of the shop file again')
    .argument('<number>', 'test or certificate number', numberOf)
    .addHelpText(
      'after',
      `${examples('dwellmark hook T-2026-0007', 'dwellmark hook HF-2026-0012')}

A test is handed over by itself when it is sealed, a paper when it is issued, where the shop file
has [hooks]. Nobody waits for it: half a minute for a try, five tries, each in hooks.log.`,
    )
    .action(async (number, options) => (await import('../commands/hook.js')).run(number, options));
}
