import type { Job, JobPort } from './job.js';
import type { Procedure } from './procedure.js';

/** The moments at which a caution belongs before a person, in the order of a test. */
export type CautionMoment = 'before pressure' | 'before a closed port' | 'dwell' | 'bleed-down' | 'before opening';

const closing = 'Your local codes and licensed practice come first.';

/** What holds for every cylinder. Short, and no promise: nothing here says that anything is safe. */
const always: Readonly<Record<CautionMoment, readonly string[]>> = {
  'before pressure': [
    'Nobody in line with the rod, the plugs or the hose ends.',
    'Plugs, fittings and hoses rated for the test pressure; the relief valve set low and built up.',
    closing,
  ],
  'before a closed port': ['A closed opposite port can see more pressure than the gauge on this side shows.', closing],
  dwell: [
    'Look, do not touch: never use any part of the body to find or stop a leak.',
    'A jet of oil from as little as {pressure:689476} can break the skin; even a small wound is a surgical emergency.',
  ],
  'bleed-down': [
    'Pump off is not pressure off. Open the valves slowly and watch the gauge fall.',
    'Oil behind a check valve does not show on this gauge.',
  ],
  'before opening': [
    "A gauge at zero is not a cylinder at zero: wait, and look at a second gauge on the cylinder's side.",
    'Ask for pilot-operated checks, counterbalance valves and check couplings before a line is loosened.',
    closing,
  ],
};

/**
 * Cautions for one moment of a test, in order, as sentences that may carry figures in SI (see `spell`).
 * @param port the port to be held; its position and opposite port add what is particular to it.
 * @param subject what is held: plugged lines have neither a rod nor a seal.
 * @example cautionsFor('before a closed port', job, job.ports[0]) // [] when the opposite port is open
 */
export function cautionsFor(
  moment: CautionMoment,
  job: Job,
  port: JobPort,
  subject: Procedure['subject'] = 'cylinder',
): readonly string[] {
  if (moment === 'before a closed port' && port.opposite === 'open') return [];
  if (subject === 'plugged lines') return moment === 'before a closed port' ? [] : always[moment];
  return [...particular(moment, job, port), ...always[moment]];
}

/**
 * The dangers that stand first on a card, in a few sentences: what has killed and maimed, and what this cylinder adds to
 * it. The cautions of each moment say more.
 */
export function dangersOf(job: Job, ports: readonly JobPort[], subject: Procedure['subject']): readonly string[] {
  const own = subject === 'plugged lines' ? [] : ports.flatMap((port) => particular('before pressure', job, port));
  return [
    'Nobody in line with the rod, the plugs or the hose ends.',
    'Never feel for a leak: a jet from {pressure:689476} on breaks the skin, and even a small wound is a surgical emergency.',
    'Pump off is not pressure off. A gauge at zero is not a cylinder at zero.',
    ...new Set(own),
    ...(ports.some(({ opposite }) => opposite !== 'open') && subject !== 'plugged lines'
      ? [always['before a closed port'][0] ?? '']
      : []),
    closing,
  ];
}

function particular(moment: CautionMoment, job: Job, port: JobPort): string[] {
  const cautions: string[] = [];
  const { kind } = job.cylinder;
  if (moment === 'before pressure') {
    if (port.position === 'mid-stroke restrained' || port.restrained)
      cautions.push('The rod is held from outside: check what holds it before each rise of pressure.');
    if (port.opposite === 'open' && kind !== 'plunger' && kind !== 'vessel')
      cautions.push('Lead the open port away to a tray; a passing seal lets oil out of it under force.');
    if (kind === 'telescopic') cautions.push('Stages move out in order, and may move at a jump.');
    if (kind === 'plunger')
      cautions.push('A plunger needs a stop at the end of its stroke, or a restraint from outside.');
  }
  if (moment === 'dwell') cautions.push('Trapped oil that warms raises its own pressure: keep an eye on the gauge.');
  if (moment === 'bleed-down' && port.opposite !== 'open')
    cautions.push(`Oil is shut in at port ${port.port === 'A' ? 'B' : 'A'} as well: bleed that port too.`);
  return cautions;
}
