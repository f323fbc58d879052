import type { Command } from 'commander';
import { collect, command, examples, number, positive, whole } from './command.js';

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
    .argument('[what]', 'a test, a bundle, a certificate PDF, an audit report; the whole store when absent')
    .option('--all', 'every test of the store')
    .option('--root <file>', "the shop's root certificate (PEM), to check whose signature a PDF bears")
    .option(
      '--anchor <mark>',
      'prove that the store still contains this: POSITION:HEAD from a certificate, its PDF or record.json, a bundle or an audit report; may be given several times',
      collect,
      [],
    )
    .addHelpText(
      'after',
      examples(
        'dwellmark verify --all',
        'dwellmark verify T-2026-0007',
        'dwellmark verify --all --anchor HF-2026-0012.pdf',
        'dwellmark verify HF-2026-0012.pdf --root shop-root.pem',
      ),
    )
    .action(async (what, options) => (await import('../commands/verify.js')).run(what, options));

  command(program, 'audit', 'the whole record verified, judged again, and searched for what does not look right')
    .option('--procedure <file>', 'judge every test by this procedure too, beside the original')
    .option('--anchor <mark>', 'as with verify; may be given several times', collect, [])
    .option('--tests-a-shift <n>', 'how many tests one person can run in eight hours', positive, 20)
    .option('-o, --output <file>', 'also write the report, signed; dwellmark verify FILE checks it')
    .option('--signer <id>', 'who signs the report (qa, administrator or witness); asked when there are several')
    .option('--passphrase-fd <n>', 'read the passphrase from this file descriptor', whole)
    .addHelpText(
      'after',
      `${examples(
        'dwellmark audit',
        'dwellmark audit --anchor HF-2026-0012.pdf -o audit-2026.txt --signer qa',
        'dwellmark audit --procedure stricter.toml --json',
      )}

What does not look right is a question with its evidence, never a verdict.
Exit codes: 0 nothing altered and nothing to look into; 3 nothing altered, but something
to look into; 4 altered.`,
    )
    .action(async (options) => (await import('../commands/audit.js')).run(options));

  command(program, 'recall', 'every certificate that leans on a gauge')
    .requiredOption('--gauge <serial>', 'serial of the gauge')
    .option('--since <date>', 'from this day')
    .option('--until <date>', 'to this day')
    .option('--reads-high <percent>', 'judge again as if the gauge had read so many percent high', number)
    .option('--offset-bar <bar>', 'judge again as if the gauge had read so many bar high', number)
    .addHelpText('after', examples('dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high 1'))
    .action(async (options) => (await import('../commands/recall.js')).run(options));
}
