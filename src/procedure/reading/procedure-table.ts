import { z } from 'zod';
import type { PortName } from '../../hydraulics/index.js';
import { DwellmarkError, parseQuantity } from '../../units/index.js';
import { parseCollected } from './collected-amount.js';
import { grammar, quantity, words } from './fields.js';
import { parseLevel, parseWidth } from './level.js';

const portNames = ['A', 'B'] as const satisfies PortName[];
const steps = z.array(z.string().trim().min(1, 'a step is empty'));
const level = (example: string, share: 'test' | 'target' | null) => grammar(example, (text) => parseLevel(text, share));
const width = (example: string) => grammar(example, parseWidth);
const time = (example: string, rule: 'positive' | 'not negative' = 'positive') => quantity('time', example, rule);

const dropLimit = grammar('"2 %"', (text): { fraction: number } | { dropPa: number } => {
  const percent = /^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(text);
  const value = percent ? Number(percent[1]) / 100 : parseQuantity(text, 'pressure-difference');
  if (!(value > 0)) throw new DwellmarkError('input', `"${text}" is not more than zero`);
  if (percent && value >= 1) throw new DwellmarkError('input', `"${text}" would allow all the pressure to go`);
  return percent ? { fraction: value } : { dropPa: value };
});

const collected = grammar('"1 mL in 3 min"', parseCollected);

const stageTable = z.strictObject({
  name: words('"proof"'),
  ports: z.array(z.enum(portNames)).optional(),
  target: level('"1.5 x rated"', null),
  below: width('"2 %"').optional(),
  above: width('"5 %"').optional(),
  void_above: level('"500 psi"', 'target').optional(),
  never_below: level('"95 %"', 'target').optional(),
  ramp_max: quantity('pressure-rate', '"10 bar/s"').optional(),
  stabilise: z
    .strictObject({
      rate: quantity('pressure-rate', '"0.5 bar/min"').optional(),
      for: time('"30 s"', 'not negative').optional(),
      give_up_after: time('"10 min"').optional(),
    })
    .optional(),
  dwell: time('"5 min"'),
  allowed_decay: z
    .strictObject({
      drop: dropLimit.optional(),
      rate: quantity('pressure-rate', '"0.5 bar/min"').optional(),
      leak: quantity('flow', '"0.2 mL/min"').optional(),
      leak_by_bore: z.record(z.string(), quantity('flow', '"0.2 mL/min"')).optional(),
      source: words('"customer order 4711"').optional(),
    })
    .describe('{ drop = "2 %" }')
    .optional(),
  decision: z.enum(['simple', 'guarded']).optional(),
  judge: z.enum(['leak', 'plain drop']).optional(),
  prepare: steps.optional(),
  look: steps.optional(),
});

/** What a procedure file may say, key by key; what no single key shows is asked by `readProcedure`. */
export const procedureTable = z.strictObject({
  id: words('"cylinder-proof"').regex(/^[a-z0-9][a-z0-9-]*$/, 'an id is lower-case letters, digits and hyphens'),
  title: words('"…"'),
  revision: z.union([words('"1"'), z.number().transform(String)]).describe('"1"'),
  source: words('"the shop\'s own rule"'),
  purpose: z.string().optional(),
  subject: z.enum(['cylinder', 'plugged lines']).optional(),
  ports: z.array(z.enum(portNames)).optional(),
  attempts: z.int().min(1, 'at least one attempt').max(20, 'at most twenty attempts').optional(),
  drops_per_ml: z.number().positive('more than zero').optional(),
  oil_temperature_change: quantity('temperature-difference', '"0.1 K"', 'not negative').optional(),
  prepare: steps.optional(),
  finish: steps.optional(),
  limits: z
    .strictObject({
      overpressure: level('"106 %"', 'test').optional(),
      opposite: level('"1 x rated"', 'test').optional(),
      zero: quantity('pressure-difference', '"1 bar"').optional(),
      collected: z.union([collected, z.record(z.string(), collected)]).optional(),
      collected_source: words('"customer order 4711"').optional(),
    })
    .optional(),
  strokes: z
    .strictObject({
      wanted: z.int().min(1, 'at least one stroke').max(20, 'at most twenty strokes'),
      rest: time('"2 min"', 'not negative').optional(),
      break_away_max: level('"5 bar"', 'test').optional(),
      drag_max: level('"3 bar"', 'test').optional(),
      source: words('"customer order 4711"').optional(),
    })
    .optional(),
  bleed_down: z
    .strictObject({ below: quantity('pressure', '"2 bar"').optional(), for: time('"10 s"').optional() })
    .optional(),
  stage: z.array(stageTable).min(1, 'a procedure has at least one stage').describe('a [[stage]] table'),
});

export type ProcedureTable = z.output<typeof procedureTable>;
export type StageTable = z.output<typeof stageTable>;
export type StrokeTable = NonNullable<ProcedureTable['strokes']>;
