import { z } from 'zod';
import { type Fluid, findFluid, fluidNames, userFluid } from '../../hydraulics/index.js';
import { temperatureK } from '../../units/index.js';
import { quantity, words } from './fields.js';
import { ofFluid } from './job-facts-table.js';
import { nearWord } from './near-word.js';
import { refusal, type TomlText } from './toml-text.js';

/** Schema of a job's `[fluid]`: a kind the program knows, or the shop's own figures, or both. */
export const fluidTable = z.strictObject({
  kind: words('"ISO VG 46"').optional(),
  name: words('"…"').optional(),
  bulk_modulus: quantity('modulus', '"1.5 GPa"').optional(),
  expansion: quantity('expansion', '"7.0e-4 /K"').optional(),
  density: quantity('density', '"870 kg/m3"').optional(),
  heat_capacity: quantity('heat-capacity', '"1900 J/(kg K)"').optional(),
  viscosity: quantity('dynamic-viscosity', '"40 mPa s"').optional(),
  viscosity_at: quantity('temperature', '"40 °C"').optional(),
  air: quantity('ratio', '"0.5 %"', 'not negative').optional(),
  source: words('"data sheet of …"').optional(),
  ...ofFluid,
});

/** The fluid of a job. Figures stated beside a kind stand in for that kind's. */
export function fluidOf(document: TomlText, table: z.output<typeof fluidTable>): Fluid {
  const { kind } = table;
  const known = kind === undefined ? undefined : findFluid(kind);
  if (kind !== undefined && known === undefined) {
    const near = nearWord(kind, fluidNames);
    throw refusal(
      document,
      ['fluid', 'kind'],
      `the fluid "${kind}" is not known`,
      `${near === undefined ? '' : `Did you mean "${near}"? `}Known: ${fluidNames.join(', ')}; or give bulk_modulus and expansion instead.`,
    );
  }
  if (kind === undefined && table.bulk_modulus === undefined)
    throw refusal(
      document,
      ['fluid'],
      'the fluid is neither named nor described',
      'Write kind = "ISO VG 46", or bulk_modulus = "1.5 GPa" and expansion = "7.0e-4 /K".',
    );
  if (table.air !== undefined && table.air > 0.2)
    throw refusal(document, ['fluid', 'air'], 'more than 20 % of free air is foam, not oil', 'Purge first.');
  const stated = statedOf(table);
  if (Object.keys(stated).length === 0 && known) return known;
  if (!known) return userFluid(stated);
  const { secantRise: _, ...constant } = known;
  return userFluid({ ...(table.bulk_modulus === undefined ? known : constant), ...stated });
}

function statedOf(table: z.output<typeof fluidTable>): Partial<Fluid> {
  return {
    ...(table.bulk_modulus === undefined ? {} : { bulkModulusPa: table.bulk_modulus, bulkModulusRelU: 0.05 }),
    ...(table.expansion === undefined ? {} : { expansionPerK: table.expansion, expansionRelU: 0.05 }),
    ...(table.density === undefined ? {} : { densityKgPerM3: table.density }),
    ...(table.heat_capacity === undefined ? {} : { heatCapacityJPerKgK: table.heat_capacity }),
    ...(table.viscosity === undefined ? {} : { viscosityPaS: table.viscosity }),
    ...(table.viscosity_at === undefined ? {} : { viscosityAtK: temperatureK(table.viscosity_at) }),
    ...(table.name === undefined ? {} : { name: table.name }),
    ...(table.source === undefined ? {} : { source: table.source }),
  };
}
