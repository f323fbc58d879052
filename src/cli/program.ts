import { Command } from 'commander';
import { exitStatus } from './exit-codes.js';
import { archive } from './program/archive.js';
import { audit } from './program/audit.js';
import { bench } from './program/bench.js';
import { desk } from './program/desk.js';
import { help } from './program/help.js';
import { quality } from './program/quality.js';
import { records } from './program/records.js';
import { start } from './program/start.js';

/**
 * The command line. Only names, options and help live here; what a command does is loaded when it is called, so that
 * `--help` starts at once.
 */
export function buildProgram(): Command {
  const program = new Command('dwellmark')
    .description('Hold tests of hydraulic cylinders: from the gauge to a signed certificate.')
    .version('0.1.0')
    .showHelpAfterError('  Add --help for the options.')
    // The width is fixed, because the build prepares the texts (prepared-answer.ts).
    .configureOutput({ outputError: (text, write) => write(asOurOwn(text)), getOutHelpWidth: () => 80 })
    .exitOverride()
    .configureHelp({ sortSubcommands: false })
    .addHelpText(
      'after',
      `
Exit codes: ${exitStatus}

Start with:  dwellmark demo      Read more:  dwellmark help`,
    );
  start(program);
  bench(program);
  records(program);
  quality(program);
  audit(program);
  desk(program);
  archive(program);
  help(program);
  return program;
}

/** A mistyped command or option, said as every other mistake is. */
const asOurOwn = (text: string): string =>
  text.replace(/^error: /, 'dwellmark: ').replace(/\n\((Did you mean [^)]*)\)/, '\n  $1');
