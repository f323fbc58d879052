import { spell, type UnitSystem } from '../../../units/index.js';
import { type CautionMoment, cautionsFor } from '../../cautions.js';
import type { Job, JobPort } from '../../job.js';
import type { Procedure } from '../../procedure.js';
import { wrap } from './wrap.js';

const headings: Readonly<Record<CautionMoment, string>> = {
  'before pressure': 'TAKE CARE BEFORE PRESSURE',
  'before a closed port': 'TAKE CARE WITH A CLOSED PORT',
  dwell: 'TAKE CARE DURING THE DWELL',
  'bleed-down': 'TAKE CARE AT BLEED-DOWN',
  'before opening': 'TAKE CARE BEFORE A LINE IS OPENED',
};

/** The cautions for some ports of a job, by their moment, each once; what holds for one port alone names it. */
export function cautionsOf(
  job: Job,
  ports: readonly JobPort[],
  subject: Procedure['subject'],
): readonly { readonly moment: CautionMoment; readonly cautions: readonly string[] }[] {
  return (Object.keys(headings) as CautionMoment[]).flatMap((moment) => {
    const each = ports.map((port) => ({ port: port.port, cautions: cautionsFor(moment, job, port, subject) }));
    const all = [...new Set(each.flatMap(({ cautions }) => cautions))];
    const cautions = all.map((caution) => {
      const [first, ...others] = each.filter((one) => one.cautions.includes(caution));
      return first && others.length === 0 && ports.length > 1 ? `Port ${first.port}: ${caution}` : caution;
    });
    return cautions.length === 0 ? [] : [{ moment, cautions }];
  });
}

/** {@link cautionsOf} as lines of at most 80 columns. */
export function cautionLines(
  job: Job,
  ports: readonly JobPort[],
  subject: Procedure['subject'],
  system: UnitSystem,
): string[] {
  return cautionsOf(job, ports, subject).flatMap(({ moment, cautions }, index) => [
    ...(index === 0 ? [] : ['']),
    headings[moment],
    ...cautions.flatMap((caution) => wrap(`- ${spell(caution, system)}`, 1, 3)),
  ]);
}
