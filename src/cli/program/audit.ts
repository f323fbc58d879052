import { type Command, Option } from 'commander';
import { archiveOption } from './archive.js';
import { collect, command, examples, number, numberOf, positive, speed, whole } from './command.js';

/** Commands of the auditor. */
export function audit(program: Command): void {
  command(program, 'replay', 'watch a test again, judge it again')
    .argument('<test>', 'test, e.g. T-2026-0007', numberOf)
    .option('--speed <n>', 'times real time; when absent 10 on a screen, and as fast as possible in lines', speed)
    .option('--procedure <file>', 'judge by another procedure, beside the original')
    .addHelpText(
      'after',
      examples(
        'dwellmark replay T-2026-0007',
        'dwellmark replay T-2026-0007 --speed 60 --procedure stricter.toml',
        'dwellmark replay T-2026-0007 | cat        # no screen: a line an event',
      ),
    )
    .action(async (test, options) => (await import('../commands/replay.js')).run(test, options));

  command(program, 'verify', 'prove that nothing was altered')
    .argument('[what]', 'a test, a bundle, a certificate PDF, an audit report; the whole store when absent', numberOf)
    .option('--all', 'every test of the store')
    .option('--root <file>', "the shop's root certificate (PEM): without it nobody knows who signed a PDF")
    .option(
      '--key <fingerprint>',
      'key of a signer you know, for a record or page; may be given several times',
      collect,
    )
    .option(
      '--anchor <mark>',
      'prove that the store still contains this: POSITION:HEAD from a certificate, its PDF or record.json, a bundle or an audit report; may be given several times',
      collect,
    )
    .option(...archiveOption)
    .addHelpText(
      'after',
      examples(
        'dwellmark verify --all',
        'dwellmark verify T-2026-0007',
        'dwellmark verify --all --anchor HF-2026-0012.pdf',
        'dwellmark verify HF-2026-0012.pdf --root shop-root.pem',
        'dwellmark verify T-2026-0007.html --key "39f7 13d0 a644 253f"',
      ),
    )
    .addHelpText(
      'after',
      `\nExit codes: 0 nothing altered and the signer known; 4 altered; 6 not proven: nothing was\nfound altered, but who signed is not known, the pages were not compared, or it is void.`,
    )
    .action(async (what, options) =>
      options.archive
        ? (await import('../commands/archived.js')).verify(what, options)
        : (await import('../commands/verify.js')).run(what, options),
    );

  command(program, 'ledger', 'who did what, when, with which key')
    .option('--kind <words>', 'acts of this kind: "signer enrolled", "void", "signed"')
    .option('--person <name>', 'done by this person')
    .option('--about <number>', 'about this test, certificate, signer or gauge')
    .option('--since <date>', 'on this day or later')
    .option('--until <date>', 'on this day or earlier')
    .option('--csv', 'CSV and nothing else on stdout')
    .addHelpText(
      'after',
      examples(
        'dwellmark ledger --since 2026-03-01',
        'dwellmark ledger --kind void',
        'dwellmark ledger --about T-2026-0007 --csv',
      ),
    )
    .action(async (options) => (await import('../commands/ledger.js')).run(options));

  command(program, 'backup', 'a whole copy of the record, also while a test runs')
    .argument('<file>', 'the copy; a folder gets a file named after today')
    .addHelpText('after', examples('dwellmark backup /mnt/safe/record.db', 'dwellmark backup /mnt/safe'))
    .action(async (file, options) => (await import('../commands/backup.js')).run(file, options));

  command(program, 'audit', 'the whole record verified, judged again, and searched for what does not look right')
    .option('--procedure <file>', 'judge every test by this procedure too, beside the original')
    .option('--anchor <mark>', 'as with verify; may be given several times', collect)
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

  command(program, 'recall', 'a gauge was found out: what leans on it, what would change, what is decided')
    .requiredOption('--gauge <serial>', 'serial of the gauge')
    .option('--since <date>', 'from this day: of the last calibration that was good')
    .option('--until <date>', 'to this day')
    .option(
      '--reads-high <error>',
      'judge again as if it had read so much too high: "1 %", "-0.5 bar", "1 % + 0.5 bar"',
    )
    .option('--offset-bar <bar>', 'the same, in bar', number)
    .addOption(
      new Option('--decide <decision>', 'put down what is decided, with --reason, signed').choices([
        'stands',
        'test again',
        'certificate withdrawn',
      ]),
    )
    .option('--void', 'withdraw: also void the certificates that stand on those tests')
    .option('--test <test>', 'decide on this test; may be given several times', collect)
    .option('--changed', 'decide on those whose verdict would change')
    .option('--all', 'decide on all that are listed')
    .option('--reason <text>', 'why it is decided so')
    .option('--told <date>', 'the customer was told on this day')
    .option('--signer <id>', 'who decides (qa or administrator); asked when there are several')
    .option('--passphrase-fd <n>', 'read the passphrase from this file descriptor', whole)
    .option('--csv', 'the list as CSV, by customer')
    .option('-o, --output <dir>', 'a CSV file for each customer into this folder')
    .option(...archiveOption)
    .addHelpText(
      'after',
      examples(
        'dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high "1 %"',
        'dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high "1 %" -o lists',
        'dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high "1 %" --changed --void \\\n' +
          '      --reason "gauge read 1 % high, CAL-0412" --signer qa',
        'dwellmark recall --gauge "SN 40117" --decide stands --test T-2026-0007 --reason "2 bar above target"',
      ),
    )
    .action(async (options) =>
      options.archive
        ? (await import('../commands/archived.js')).recall(options)
        : (await import('../commands/recall.js')).run(options),
    );
}
