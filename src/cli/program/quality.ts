import { type Command, Option } from 'commander';
import { command, examples, numberOf, numbersOf, unitNames, whole } from './command.js';

/** Commands of the quality inspector. */
export function quality(program: Command): void {
  const signer = program.command('signer').description('people who sign: enrol, list, revoke, change a passphrase');
  command(signer, 'add', 'enrol a person with a key of their own')
    .argument('<id>', 'short name, e.g. mo')
    .requiredOption('--name <text>', 'printed name')
    .addOption(
      new Option('--role <role>', 'what the person signs as')
        .choices(['technician', 'qa', 'administrator', 'witness'])
        .makeOptionMandatory(),
    )
    .option('--organisation <text>', "a witness's organisation; the shop's name when absent")
    .option('--signer <id>', 'administrator who enrols the person; asked when there are several')
    .option(
      '--passphrase-fd <n>',
      "read the administrator's passphrase and the new one, a line each, from this file descriptor",
      whole,
    )
    .addHelpText(
      'after',
      `${examples('dwellmark signer add mo --name "Mo Arden" --role technician')}

An administrator signs the enrolment. The first administrator is made by init; in a record
without one, \`signer add admin --role administrator\` makes it and asks for one passphrase.`,
    )
    .action(async (id, options) => (await import('../commands/signer.js')).add(id, options));
  command(signer, 'list', 'everyone ever enrolled')
    .addHelpText('after', examples('dwellmark signer list', 'dwellmark signer list --json'))
    .action(async (options) => (await import('../commands/signer.js')).list(options));
  command(signer, 'revoke', 'end a key; signatures made before stand')
    .argument('<id>', 'whose key')
    .requiredOption('--reason <text>', 'why')
    .option('--signer <id>', 'administrator who decides; asked when there are several')
    .option('--passphrase-fd <n>', "read the administrator's passphrase from this file descriptor", whole)
    .addHelpText('after', examples('dwellmark signer revoke mo --reason "left the shop"'))
    .action(async (id, options) => (await import('../commands/signer.js')).revoke(id, options));
  command(signer, 'passphrase', 'the same key under another passphrase')
    .argument('<id>', 'whose key')
    .option('--passphrase-fd <n>', 'read the old and the new passphrase, a line each, from this file descriptor', whole)
    .addHelpText('after', examples('dwellmark signer passphrase mo'))
    .action(async (id, options) => (await import('../commands/signer.js')).passphrase(id, options));

  command(program, 'sign', 'sign a sealed record')
    .argument('<test>', 'test, e.g. T-2026-0007', numberOf)
    .option('--signer <id>', 'who signs; asked when there are several')
    .addOption(
      new Option('--meaning <words>', 'what the signature means').choices([
        'performed',
        'reviewed and released',
        'rejected',
        'witnessed',
      ]),
    )
    .option('--remark <text>', 'a remark, signed along', '')
    .option('--passphrase-fd <n>', 'read the passphrase from this file descriptor', whole)
    .addHelpText(
      'after',
      examples(
        'dwellmark sign T-2026-0007',
        'dwellmark sign T-2026-0007 --signer qa --meaning "reviewed and released"',
      ),
    )
    .action(async (test, options) => (await import('../commands/sign.js')).run(test, options));

  command(program, 'certificate', 'render the certificate, or the test report of a fail')
    .argument('[tests...]', 'one or more tests, e.g. T-2026-0007', numbersOf)
    .option('-o, --output <path>', 'file to write; with several tests the folder')
    .option('--work-order <text>', 'every test of this work order that waits for its certificate')
    .option('--draft', 'a marked draft that takes no number and needs no signature')
    .option('--label', 'also a small label for the cylinder')
    .addOption(new Option('--units <unit>', "units to print; the job's when absent").choices(unitNames))
    .addOption(new Option('--beside <unit>', 'other units, printed beside').choices(unitNames))
    .addOption(new Option('--language <code>', 'language').choices(['en', 'de']))
    .option('--declare <text>', 'words of conformity that QA answers for, printed as they are')
    .option('--reissue <number>', 'a new certificate in place of this one, which becomes void', numberOf)
    .option('--reason <text>', 'why it is reissued; printed')
    .option('--signer <id>', 'who decides on a reissue (qa or administrator) or renewal (administrator)')
    .option('--passphrase-fd <n>', 'of a reissue or renewal: read the passphrase from this file descriptor', whole)
    .option('--copy <number>', 'the certificate again, byte for byte before its signature; marked when it is void')
    .option('--root <file>', "write the shop's root certificate there, for customers")
    .option('--renew', 'sign papers with a new certificate under the same root, before the old one ends')
    .addHelpText(
      'after',
      examples(
        'dwellmark certificate T-2026-0007',
        'dwellmark certificate T-2026-0007 --units psi --beside bar -o cert.pdf',
        'dwellmark certificate --work-order WO-2207 -o certificates --label',
        'dwellmark certificate --reissue HF-2026-0012 --reason "printed on the former letterhead"',
        'dwellmark certificate --copy HF-2026-0012',
        'dwellmark certificate --root shop-root.pem',
        'dwellmark certificate --renew --signer admin',
      ),
    )
    .action(async (tests, options) => (await import('../commands/certificate.js')).run(tests, options));

  command(program, 'correct', 'put customer, work order or address right; the record stays as sealed')
    .argument('<test>', 'test, e.g. T-2026-0007', numberOf)
    .option('--customer <text>', 'the customer, as it should read')
    .option('--work-order <text>', 'the work order, as it should read')
    .option('--address <text>', "the shop's address, as it should read")
    .requiredOption('--reason <text>', 'why; printed')
    .option('--signer <id>', 'who decides (qa or administrator); asked when there are several')
    .option('--passphrase-fd <n>', 'read the passphrase from this file descriptor', whole)
    .addHelpText(
      'after',
      `${examples('dwellmark correct T-2026-0007 --customer "Tarn Quarry Plant" --reason "misspelt in the job"')}

The amendment is signed and stands in the ledger. Papers issued afterwards print the corrected
text and say what was corrected; reissue those that stand. \`list\` finds a test by its former words.`,
    )
    .action(async (test, options) => (await import('../commands/correct.js')).run(test, options));

  command(program, 'void', 'strike out a test or a certificate; nothing is removed')
    .argument('<number>', 'test or certificate number', numberOf)
    .requiredOption('--reason <text>', 'why')
    .option('--signer <id>', 'who decides (qa or administrator); asked when there are several')
    .option('--passphrase-fd <n>', 'read the passphrase from this file descriptor', whole)
    .option('--with-certificates', 'of a test: its certificates too')
    .addHelpText('after', examples('dwellmark void T-2026-0007 --signer qa --reason "wrong gauge"'))
    .action(async (number, options) => (await import('../commands/void.js')).run(number, options));
}
