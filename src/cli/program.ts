import { Command, InvalidArgumentError, Option } from 'commander';
import { exitCodes } from './exit-codes.js';

const unitNames = ['bar', 'psi', 'MPa', 'kPa', 'kgf/cm2'];

/** Options that every command has. */
export interface CommonOptions {
  readonly shop?: string;
  readonly json?: boolean;
  readonly debug?: boolean;
}

/**
 * The command line. Only names, options and help live here; what a command does is loaded when it is called, so that
 * `--help` starts at once.
 */
export function buildProgram(): Command {
  const program = new Command('dwellmark')
    .description('Hold tests of hydraulic cylinders: from the gauge to a signed certificate.')
    .version('0.1.0')
    .showHelpAfterError('(add --help for the options)')
    .exitOverride()
    .configureHelp({ sortSubcommands: false })
    .addHelpText(
      'after',
      `
Exit codes: 0 done, every verdict pass; 1 a verdict is fail; 2 wrong use or unreadable
input; 3 inconclusive or invalid; 4 altered or unverifiable record; 5 gauge fault.

Start with:  dwellmark demo`,
    );
  start(program);
  bench(program);
  records(program);
  quality(program);
  audit(program);
  return program;
}

function start(program: Command): void {
  command(program, 'demo', 'the whole job on the simulated gauge, in under a minute')
    .option('-o, --output <dir>', 'folder to write to', 'dwellmark-demo')
    .option('--seed <n>', 'seed of the simulated noise', whole, 7)
    .addHelpText('after', examples('dwellmark demo', 'dwellmark demo -o /tmp/demo'))
    .action(async (options) => (await import('./commands/demo.js')).run(options));

  command(program, 'init', 'make the shop file, its record and its first signer')
    .option('--name <text>', "the shop's name")
    .option('--address <text>', "the shop's address, printed on certificates")
    .addOption(new Option('--units <unit>', 'units to read and print').choices(unitNames))
    .addOption(new Option('--paper <size>', 'paper of the certificates').choices(['A4', 'Letter']))
    .option('--signer <name>', 'printed name of the first signer (role QA)')
    .option('--passphrase-fd <n>', "read the signer's passphrase from this file descriptor", whole)
    .option('--yes', 'ask nothing: take what is given and the defaults')
    .addHelpText('after', examples('dwellmark init', 'dwellmark init --yes --name "Harrow Fell Hydraulics"'))
    .action(async (options) => (await import('./commands/init.js')).run(options));
}

function bench(program: Command): void {
  command(program, 'plan', 'what a test will need, and what speaks against it')
    .argument('<job>', 'job file (TOML)')
    .option('--port <name>', 'only this port', port)
    .addHelpText('after', examples('dwellmark plan jobs/ram-12.toml'))
    .action(async (job, options) => (await import('./commands/plan.js')).run(job, options));

  const gauge = program.command('gauge').description('gauges: ports found, gauges known, live readings, calibrations');
  gauges(gauge);

  command(program, 'test', 'run a hold test at the bench')
    .argument('[job]', 'job file (TOML)')
    .option('--port <name>', 'only this port', port)
    .option('--technician <name>', 'who runs the test')
    .option('--overrule <why>', 'go on although the plan says stop; recorded with the name')
    .option('--unattended', 'ask nobody to confirm anything: phases follow from the readings alone')
    .option('--resume', 'take up or close a test that was cut off; with --unattended: close all of them')
    .addHelpText(
      'after',
      examples(
        'dwellmark test jobs/ram-12.toml',
        'dwellmark test jobs/ram-12.toml --port B',
        'dwellmark test --resume',
      ),
    )
    .action(async (job, options) => (await import('./commands/test.js')).run(job, options));

  command(program, 'watch', 'follow a running test from another terminal, read-only')
    .argument('[test]', 'test, e.g. T-2026-0007; the one that is running when absent')
    .addHelpText('after', examples('dwellmark watch', 'dwellmark watch T-2026-0007'))
    .action(async (test, options) => (await import('./commands/watch.js')).run(test, options));

  command(program, 'import', 'the same test on a recorded log')
    .argument('<log>', 'log file (CSV with a header row)')
    .requiredOption('--job <file>', 'job file (TOML)')
    .option('--port <name>', 'which port the log is of', port)
    .option('--columns <map>', 'names in someone else\'s header: "time_s=Elapsed,pressure_psi=P1"')
    .option('--oil-start <temperature>', 'oil temperature read by a person at the start of the dwell, "22.8 C"')
    .option('--oil-end <temperature>', '... and near its end')
    .option('--technician <name>', 'who ran the test', 'not stated')
    .option('--procedure <file>', "another procedure than the job's")
    .option('--no-store', 'judge the log and keep nothing; needs no shop')
    .addHelpText(
      'after',
      examples(
        'dwellmark import hold.csv --job job.toml --no-store',
        'dwellmark import hold.csv --job job.toml --port A --json',
      ),
    )
    .action(async (log, options) => (await import('./commands/import-log.js')).run(log, options));
}

function gauges(gauge: Command): void {
  command(gauge, 'list', 'serial ports found and gauges known').action(async (options) =>
    (await import('./commands/gauge-list.js')).run(options),
  );
  command(gauge, 'add', 'listen to a gauge, propose how it is read, and add it to the shop')
    .option('--path <port>', 'serial port; asked when there are several')
    .option('--baud <n>', 'listen at this rate only', whole)
    .option('--unit <unit>', "pressure unit, for a gauge that doesn't send it")
    .option('--pattern <text>', 'the line as it looks, e.g. "{pressure} {unit}"; proposed when absent')
    .option('--serial <text>', 'serial number on the gauge')
    .option('--maker <text>', 'maker')
    .option('--model <text>', 'model')
    .option('--range <text>', 'e.g. "0..400 bar"')
    .option('--resolution <text>', 'e.g. "0.1 bar"; from the digits sent when absent')
    .option('--accuracy <text>', 'e.g. "0.25 %FS"')
    .option('--yes', 'ask nothing: take what is heard and given')
    .addHelpText(
      'after',
      examples(
        'dwellmark gauge add',
        'dwellmark gauge add --path /dev/ttyUSB0 --serial "SN 40117" --range "0..400 bar" --accuracy "0.25 %FS" --yes',
      ),
    )
    .action(async (options) => (await import('./commands/gauge-add.js')).run(options));
  command(gauge, 'show', 'what a gauge is, how it is read, its calibrations, the tests that used it last')
    .argument('<serial>', 'serial of the gauge')
    .addHelpText('after', examples('dwellmark gauge show "SN 40117"'))
    .action(async (serial, options) => (await import('./commands/gauge-show.js')).run(serial, options));
  command(gauge, 'read', 'what it says just now, with rate, jitter, noise and resolution as seen')
    .argument('<serial>', 'serial of the gauge')
    .option('--count <n>', 'end after so many readings, a line each', positive)
    .addHelpText('after', examples('dwellmark gauge read "SN 40117"', 'dwellmark gauge read "SN 40117" --count 50'))
    .action(async (serial, options) => (await import('./commands/gauge-read.js')).run(serial, options));
  command(gauge, 'simulate', 'a practice bench: a simulated gauge on a pseudo-terminal, as on a cable')
    .argument('[scenario]', 'tight, piston-seal, gland, air or shut-valve', 'tight')
    .option('-o, --output <dir>', 'folder of the practice shop', 'dwellmark-practice')
    .option('--seed <n>', 'seed of the simulated noise', whole, 7)
    .addHelpText('after', examples('dwellmark gauge simulate', 'dwellmark gauge simulate piston-seal'))
    .action(async (scenario, options) => (await import('./commands/gauge-simulate.js')).run(scenario, options));
  command(gauge, 'calibrate', 'enter a calibration; the older ones stay')
    .argument('<serial>', 'serial of the gauge')
    .option('--certificate <number>', "number of the laboratory's certificate")
    .option('--laboratory <name>', 'who calibrated it')
    .option('--date <date>', 'when, year-month-day')
    .option('--due <date>', 'last day it is good for')
    .option('--uncertainty <text>', 'expanded uncertainty (k = 2), e.g. "0.2 bar"')
    .option('--correction <point>', 'what to add where, e.g. "100 bar=-0.1 bar"; once for each point', collect, [])
    .option('--file <file>', 'the certificate itself (PDF, PNG, JPEG), kept in the record')
    .addHelpText(
      'after',
      examples(
        'dwellmark gauge calibrate "SN 40117" --certificate CAL-0311 --laboratory "Brackwater Metrology" \\\n' +
          '      --date 2026-03-14 --due 2027-03-14 --uncertainty "0.2 bar" --file cal-0311.pdf',
      ),
    )
    .action(async (serial, options) => (await import('./commands/gauge-calibrate.js')).run(serial, options));
}

function records(program: Command): void {
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
    .action(async (options) => (await import('./commands/list.js')).run(options));

  command(program, 'show', 'read a record')
    .argument('<test>', 'test, e.g. T-2026-0007')
    .addHelpText('after', examples('dwellmark show T-2026-0007', 'dwellmark show T-2026-0007 --json'))
    .action(async (test, options) => (await import('./commands/show.js')).run(test, options));

  command(program, 'export', 'hand a record on')
    .argument('<test>', 'test, e.g. T-2026-0007')
    .addOption(new Option('--format <name>', 'what to write').choices(['csv', 'json']).default('csv'))
    .option('-o, --output <file>', 'file to write; stdout when absent')
    .addHelpText('after', examples('dwellmark export T-2026-0007 --format csv -o trace.csv'))
    .action(async (test, options) => (await import('./commands/export-test.js')).run(test, options));
}

function quality(program: Command): void {
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
    .option('--passphrase-fd <n>', 'read the new passphrase from this file descriptor', whole)
    .addHelpText('after', examples('dwellmark signer add mo --name "Mo Arden" --role technician'))
    .action(async (id, options) => (await import('./commands/signer.js')).add(id, options));
  command(signer, 'list', 'everyone ever enrolled').action(async (options) =>
    (await import('./commands/signer.js')).list(options),
  );
  command(signer, 'revoke', 'end a key; signatures made before stand')
    .argument('<id>', 'whose key')
    .requiredOption('--by <name>', 'who decided')
    .requiredOption('--reason <text>', 'why')
    .action(async (id, options) => (await import('./commands/signer.js')).revoke(id, options));
  command(signer, 'passphrase', 'the same key under another passphrase')
    .argument('<id>', 'whose key')
    .option('--passphrase-fd <n>', 'read the old and the new passphrase, a line each, from this file descriptor', whole)
    .action(async (id, options) => (await import('./commands/signer.js')).passphrase(id, options));

  command(program, 'sign', 'sign a sealed record')
    .argument('<test>', 'test, e.g. T-2026-0007')
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
    .action(async (test, options) => (await import('./commands/sign.js')).run(test, options));

  command(program, 'certificate', 'render the certificate, or the test report of a fail')
    .argument('[tests...]', 'one or more tests, e.g. T-2026-0007')
    .option('-o, --output <path>', 'file to write; with several tests the folder')
    .option('--work-order <text>', 'every test of this work order that waits for its certificate')
    .option('--draft', 'a marked draft that takes no number and needs no signature')
    .option('--label', 'also a small label for the cylinder')
    .addOption(new Option('--units <unit>', "units to print; the job's when absent").choices(unitNames))
    .addOption(new Option('--beside <unit>', 'other units, printed beside').choices(unitNames))
    .addOption(new Option('--language <code>', 'language').choices(['en', 'de']))
    .option('--reissue <number>', 'a new certificate in place of this one, which becomes void')
    .option('--reason <text>', 'why it is reissued; printed')
    .option('--by <name>', "who decided on the reissue; the shop's name when absent")
    .option('--copy <number>', 'the certificate again, byte for byte before its signature; marked when it is void')
    .addHelpText(
      'after',
      examples(
        'dwellmark certificate T-2026-0007',
        'dwellmark certificate T-2026-0007 --units psi --beside bar -o cert.pdf',
        'dwellmark certificate --work-order WO-2207 -o certificates --label',
        'dwellmark certificate --reissue HF-2026-0012 --reason "customer\'s name misspelt"',
        'dwellmark certificate --copy HF-2026-0012',
      ),
    )
    .action(async (tests, options) => (await import('./commands/certificate.js')).run(tests, options));

  command(program, 'void', 'strike out a test or a certificate; nothing is removed')
    .argument('<number>', 'test or certificate number')
    .requiredOption('--reason <text>', 'why')
    .requiredOption('--by <name>', 'who decided')
    .option('--with-certificates', 'of a test: its certificates too')
    .addHelpText('after', examples('dwellmark void T-2026-0007 --by "Q. Inspector" --reason "wrong gauge"'))
    .action(async (number, options) => (await import('./commands/void.js')).run(number, options));
}

function audit(program: Command): void {
  command(program, 'replay', 'watch a test again, judge it again')
    .argument('<test>', 'test, e.g. T-2026-0007')
    .option('--speed <n>', 'times real time; as fast as possible when absent', number)
    .option('--procedure <file>', 'judge by another procedure, beside the original')
    .addHelpText(
      'after',
      examples('dwellmark replay T-2026-0007', 'dwellmark replay T-2026-0007 --procedure stricter.toml'),
    )
    .action(async (test, options) => (await import('./commands/replay.js')).run(test, options));

  command(program, 'verify', 'prove that nothing was altered')
    .argument('[what]', 'a test, a bundle or a certificate PDF; the whole store when absent')
    .option('--all', 'every test of the store')
    .option('--root <file>', "the shop's root certificate (PEM), to check whose signature a PDF bears")
    .option('--anchor <mark>', 'POSITION:HEAD from a certificate: prove that the store still contains it')
    .addHelpText(
      'after',
      examples('dwellmark verify --all', 'dwellmark verify T-2026-0007', 'dwellmark verify HF-2026-0012.pdf'),
    )
    .action(async (what, options) => (await import('./commands/verify.js')).run(what, options));

  command(program, 'recall', 'every certificate that leans on a gauge')
    .requiredOption('--gauge <serial>', 'serial of the gauge')
    .option('--since <date>', 'from this day')
    .option('--until <date>', 'to this day')
    .option('--reads-high <percent>', 'judge again as if the gauge had read so many percent high', number)
    .option('--offset-bar <bar>', 'judge again as if the gauge had read so many bar high', number)
    .addHelpText('after', examples('dwellmark recall --gauge "SN 40117" --since 2026-03-01 --reads-high 1'))
    .action(async (options) => (await import('./commands/recall.js')).run(options));
}

function command(parent: Command, name: string, description: string): Command {
  return parent
    .command(name)
    .description(description)
    .option('--shop <dir>', "the shop's folder (else DWELLMARK_SHOP, else the nearest dwellmark.toml upwards)")
    .option('--json', 'JSON and nothing else on stdout')
    .option('--debug', 'show where an error came from')
    .allowExcessArguments(false)
    .exitOverride((error) => {
      throw Object.assign(error, { exitCode: error.exitCode === 0 ? 0 : exitCodes.usage });
    });
}

const examples = (...lines: string[]): string => `\nExamples:\n${lines.map((line) => `  ${line}`).join('\n')}`;

function number(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError('It is not a number.');
  return value;
}

function whole(text: string): number {
  const value = number(text);
  if (!Number.isInteger(value) || value < 0) throw new InvalidArgumentError('It is not a whole number.');
  return value;
}

function positive(text: string): number {
  const value = whole(text);
  if (value === 0) throw new InvalidArgumentError('It must be at least 1.');
  return value;
}

const collect = (text: string, before: readonly string[]): readonly string[] => [...before, text];

function port(text: string): 'A' | 'B' {
  const name = text.toUpperCase();
  if (name !== 'A' && name !== 'B')
    throw new InvalidArgumentError('A cylinder has port A (cap end) and port B (rod end).');
  return name;
}
