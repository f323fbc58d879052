import type { Command } from 'commander';
import { command, examples } from './command.js';
import { jobOptions, optionOf } from './job-options.js';

/** Commands about jobs. */
export function jobs(job: Command): void {
  const made = command(job, 'new', 'make a job: asks, proposes what the shop knows, writes jobs/….toml')
    .argument('[scan]', 'work order or cylinder serial, as a scanner types it')
    .option('--orders <file>', "list of orders (CSV); orders.csv in the shop's folder when absent");
  for (const [key, text] of Object.entries(jobOptions)) made.option(`${optionOf(key)} <text>`, text);
  made
    .option('--yes', 'ask nothing: take what is known and given')
    .addHelpText(
      'after',
      examples(
        'dwellmark job new',
        'dwellmark job new WO-2301',
        'dwellmark job new TQ-3381 --work-order WO-2301 --purpose "after repair" --yes',
        'dwellmark job new WO-2301 --orders week-12.csv',
      ),
    )
    .action(async (scan, options) => (await import('../commands/job-new.js')).run(scan, options));
}
