import { findShop, type Prepared, prepare } from '../../bench/index.js';
import type { PortName } from '../../hydraulics/index.js';
import { DwellmarkError, spell, type UnitSystem, unitSystems } from '../../units/index.js';
import { ask } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark } from '../output.js';
import { reportOutcome } from '../report/live-report.js';
import { wrapped } from '../report/result-text.js';
import { pickedJob } from '../shop/picked-job.js';

export interface TestOptions extends CommonOptions {
  readonly port?: PortName;
  readonly technician?: string;
  readonly overrule?: string;
  readonly unattended?: boolean;
  readonly resume?: boolean;
  readonly mute?: boolean;
}

/** `dwellmark test`: a hold test at the bench, on a full screen or, with nobody there, in plain lines. */
export async function run(job: string | undefined, options: TestOptions): Promise<void> {
  if (options.resume) return (await import('./test-resume.js')).run(job, options);
  if (job === undefined && !process.stdin.isTTY)
    throw new DwellmarkError('usage', 'which job?', { advice: 'dwellmark test JOB; or --resume for a test cut off.' });
  const shop = findShop(options.shop);
  const attended = !options.unattended;
  if (attended && !(process.stdin.isTTY && process.stdout.isTTY))
    throw new DwellmarkError('usage', 'an attended test needs a terminal to show and ask on', {
      advice: 'Run it in a terminal, or add --unattended: then the phases follow from the readings alone.',
    });
  const asked = job ?? (await ask('Scan or type the work order, the cylinder serial or a job file', 'JOB', '', given));
  const prepared = prepare({
    jobFile: await pickedJob(asked, shop),
    shop,
    attendance: attended ? 'attended' : 'unattended',
    on: new Date().toISOString().slice(0, 10),
    ...(options.port === undefined ? {} : { ports: [options.port] }),
  });
  const system = unitSystems[prepared.job.units ?? shop.units];
  const outcome = attended
    ? await (await import('../screen/run-on-screen.js')).runOnScreen({
        prepared,
        shop,
        system,
        technician: options.technician ?? null,
        overrule: options.overrule ?? null,
        mute: options.mute === true,
      })
    : await (await import('../screen/run-plain.js')).runPlain(
        {
          prepared,
          shop,
          technician: options.technician ?? 'not stated',
          overruled: allowed(prepared, options, system),
        },
        system,
      );
  if (outcome === null)
    throw new DwellmarkError('refused', 'left before the test began', { advice: 'Nothing was recorded.' });
  reportOutcome(outcome, { findings: prepared.findings, system, json: options.json === true });
}

const given = (answer: string): void => {
  if (answer === '') throw new DwellmarkError('usage', 'Nothing was typed');
};

/**
 * Says the findings.
 * @throws DwellmarkError (`refused`) when the plan says stop and nobody overrules it by name.
 */
function allowed(
  { findings }: Prepared,
  { overrule, technician }: TestOptions,
  system: UnitSystem,
): { readonly by: string; readonly why: string } | null {
  for (const { grade, text } of findings)
    for (const line of wrapped(`${grade}: ${spell(text, system)}`, 0)) remark(line);
  const stops = findings.filter(({ grade }) => grade === 'stop');
  if (stops.length === 0) return null;
  if (overrule === undefined || overrule.trim() === '')
    throw new DwellmarkError('refused', `the plan says stop (${stops.map(({ code }) => code).join(', ')})`, {
      advice: 'Mend the job, or go on with --overrule WHY --technician NAME; both are recorded and printed.',
    });
  if (technician === undefined || technician.trim() === '')
    throw new DwellmarkError('usage', 'who overrules is not stated', { advice: 'Give it with --technician NAME.' });
  return { by: technician, why: overrule };
}
