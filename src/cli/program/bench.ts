import type { Command } from 'commander';
import { collect, command, examples, numberOf, orStdin, port } from './command.js';
import { gauges } from './gauges.js';
import { jobs } from './jobs.js';

/** Commands at the bench. */
export function bench(program: Command): void {
  command(program, 'plan', 'what a test will need, and what speaks against it')
    .argument('<job>', 'job file (TOML), or a work order or cylinder serial in jobs/; - for stdin', orStdin('toml'))
    .option('--port <name>', 'only this port', port)
    .option('--full', 'every figure, note, step and caution')
    .addHelpText('after', examples('dwellmark plan jobs/ram-12.toml', 'dwellmark plan WO-2207 --full'))
    .action(async (job, options) => (await import('../commands/plan.js')).run(job, options));

  const gauge = program.command('gauge').description('gauges: ports found, gauges known, live readings, calibrations');
  gauges(gauge);
  jobs(program.command('job').description('jobs: make one without an editor'));

  command(program, 'test', 'run a hold test at the bench')
    .argument('[job]', 'job file (TOML), or a work order or cylinder serial in jobs/; asked when absent')
    .option('--port <name>', 'only this port', port)
    .option('--technician <name>', 'who runs the test')
    .option('--overrule <why>', 'go on although the plan says stop; recorded with the name')
    .option('--unattended', 'ask nobody to confirm anything: phases follow from the readings alone')
    .option('--mute', 'no sounds; the key m turns them on')
    .option('--resume', 'take up or close a test that was cut off; with --unattended: close all of them')
    .addHelpText(
      'after',
      examples(
        'dwellmark test jobs/ram-12.toml',
        'dwellmark test jobs/ram-12.toml --port B',
        'dwellmark test WO-2207',
        'dwellmark test --resume',
      ),
    )
    .action(async (job, options) => (await import('../commands/test.js')).run(job, options));

  command(program, 'watch', 'follow a running test from another terminal, read-only')
    .argument('[test]', 'test, e.g. T-2026-0007; the one that is running when absent', numberOf)
    .addHelpText('after', examples('dwellmark watch', 'dwellmark watch T-2026-0007'))
    .action(async (test, options) => (await import('../commands/watch.js')).run(test, options));

  command(program, 'import', 'the same test on a recorded log')
    .argument('<log>', 'log file (CSV with a header row); - for stdin', orStdin('csv'))
    .requiredOption('--job <file>', 'job file (TOML); - for stdin', orStdin('toml'))
    .option('--port <name>', 'which port the log is of', port)
    .option('--columns <map>', 'names in someone else\'s header: "time_s=Elapsed,pressure_psi=P1"')
    .option('--stamp <format>', 'how the log writes its times: "DD.MM.YYYY HH:mm:ss"; ISO 8601 when absent')
    .option('--ambient <pressure>', 'taken off absolute pressures, "1013 mbar"; the standard atmosphere when absent')
    .option('--oil-start <temperature>', 'oil temperature read by a person at the start of the dwell, "22.8 C"')
    .option('--oil-end <temperature>', '... and near its end')
    .option('--inspected', 'in each dwell --technician looked at every leak point and saw no oil')
    .option(
      '--collected <amount>',
      'oil collected at the open port, "0.4 mL in 3 min"; "A: …" for one port of two',
      collect,
    )
    .option('--technician <name>', 'who ran the test', 'not stated')
    .option('--procedure <file>', "another procedure than the job's")
    .option('--no-store', 'judge the log and keep nothing; needs no shop')
    .addHelpText(
      'after',
      examples(
        'dwellmark import hold.csv --job job.toml --no-store',
        'dwellmark import hold.csv --job job.toml --port A --json',
        'dwellmark import bare.csv --job job.toml --columns "time_s=#1,pressure_bar_abs=#2"',
      ),
    )
    .action(async (log, options) => (await import('../commands/import-log.js')).run(log, options));
}
