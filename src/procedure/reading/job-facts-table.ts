import { z } from 'zod';
import { DwellmarkError } from '../../units/index.js';
import { type JobFacts, purposes, valvesTested } from '../job-facts.js';
import { grammar, words } from './fields.js';
import { refusal, type TomlText } from './toml-text.js';

/** Kept as declared, in the unit of the tool. */
function torqueText(text: string): string {
  const [, figure, unit] = /^(\d+(?:\.\d+)?)\s*(N\s?m|lbf?[\s-]?ft|ft[\s-]?lbf?)$/i.exec(text.trim()) ?? [];
  if (figure !== undefined && unit !== undefined && Number(figure) > 0) return text.trim();
  throw new DwellmarkError('input', `"${text}" is not a torque`, {
    advice: 'Write for example "450 N m" or "330 lbf ft".',
  });
}

/** Keys of a job that state facts, each in the table where it belongs. */
export const ofJob = {
  purpose: z.enum(purposes).describe('"after repair"').optional(),
  order: words('"PO 88120"').optional(),
  work_done: words('"resealed, rod polished"').optional(),
  torque: z
    .array(
      z.strictObject({
        part: words('"head"'),
        torque: grammar('"450 N m"', torqueText),
        tool: words('"TW 12"'),
      }),
    )
    .describe('a [[torque]] table')
    .optional(),
};

export const ofCylinder = {
  part: words('"PN 20-4471"').optional(),
  asset: words('"EX-07"').optional(),
  place: words('"boom, left"').optional(),
  seal_kit: words('"SK 100/56"').optional(),
  sensor: words('"position sensor PS-50"').optional(),
  valves: words('"load-holding valve on port A"').optional(),
  valves_tested: z.enum(valvesTested).describe('"with"').optional(),
};

export const ofFluid = { cleanliness: words('"ISO 4406 18/16/13"').optional() };

type Read<T extends z.ZodRawShape> = z.output<z.ZodObject<T>>;

/** @throws DwellmarkError (`input`) for valves without a word on how they were tested, and the other way round. */
export function factsOf(
  document: TomlText,
  table: Read<typeof ofJob> & { readonly cylinder: Read<typeof ofCylinder>; readonly fluid: Read<typeof ofFluid> },
): JobFacts {
  const { purpose, order, work_done: workDone, torque: torques, cylinder, fluid } = table;
  const { part, asset, place, seal_kit: sealKit, sensor, valves, valves_tested: tested } = cylinder;
  if ((valves === undefined) !== (tested === undefined))
    throw refusal(
      document,
      ['cylinder', valves === undefined ? 'valves' : 'valves_tested'],
      `"${valves === undefined ? 'valves' : 'valves_tested'}" is missing`,
      'Name the valves on the body in "valves", and say in "valves_tested" whether they were on: "with" or "without".',
    );
  const texts = { purpose, order, workDone, part, asset, place, sealKit, sensor, cleanliness: fluid.cleanliness };
  return {
    ...Object.fromEntries(Object.entries(texts).filter(([, text]) => text !== undefined)),
    ...(valves === undefined || tested === undefined ? {} : { valves: { name: valves, tested } }),
    ...(torques === undefined || torques.length === 0 ? {} : { torques }),
  };
}
