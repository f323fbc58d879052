import { type CylinderKind, fluidNames, testablePorts } from '../../hydraulics/index.js';
import { purposes } from '../../procedure/index.js';
import type { Dimension } from '../../units/index.js';
import type { ShopKnows } from './known.js';

/** What a person says of a job, each under the key of its question, as it is written into the file. */
export type Answers = Readonly<Record<string, string | undefined>>;

/** One question of a job. The terminal asks it, the desk shows it in a form, an option and a CSV column bear its key. */
export interface JobQuestion {
  readonly key: string;
  readonly ask: string;
  /** Where the answer stands in the job file; absent: it is written in a way of its own. */
  readonly path?: readonly string[];
  /** `always`: asked even where something is proposed; `further`: asked when somebody wants to say more. */
  readonly need: 'always' | 'unless known' | 'further';
  readonly optional?: true;
  readonly dimension?: Dimension;
  /** Of the dimension, for a bare number; the shop's own where absent. */
  readonly unit?: string;
  readonly form?: 'list of lengths' | 'list' | 'date' | 'torque';
  /** The only answers that there are. */
  readonly choices?: (answers: Answers, knows: ShopKnows) => readonly string[];
  /** Answers to pick from; another may be typed. */
  readonly offers?: (knows: ShopKnows) => readonly string[];
  readonly usual?: (answers: Answers, knows: ShopKnows) => string | undefined;
  readonly when?: (answers: Answers) => boolean;
}

export const kindsOfJob = [
  'double-acting',
  'double-rod',
  'single-acting',
  'single-acting pull',
  'plunger',
  'telescopic',
  'vessel',
] as const satisfies CylinderKind[];

/** How the piston stands, as a person says it: at the end to which the pressure drives it, or held. */
export const stands = ['end of stroke', 'end of stroke, rod restrained', 'mid-stroke, rod restrained'] as const;
/** Ports that differ from each other in a former job stay as they are there. */
export const asBefore = 'as in the former job';

const isKind =
  (...kinds: readonly CylinderKind[]) =>
  ({ kind }: Answers): boolean =>
    kinds.some((one) => one === kind);
const hasPiston = (answers: Answers): boolean => !isKind('vessel')(answers);
const isFullyOut = (answers: Answers): boolean =>
  isKind('plunger', 'telescopic')(answers) && answers.position === 'end of stroke';

/** Both ports, or one of them, that a cylinder has. */
function portChoices({ kind, rod }: Answers): readonly string[] {
  const ports = testablePorts((kind ?? 'double-acting') as CylinderKind);
  const there = kind === 'telescopic' && !rod ? ports.filter((port) => port === 'A') : ports;
  return there.length > 1 ? [there.join(' and '), ...there] : there;
}

const cylinder = (key: string): readonly string[] => ['cylinder', key];

/** In the order in which they are asked. */
export const jobQuestions: readonly [JobQuestion, ...JobQuestion[]] = [
  { key: 'serial', ask: 'Serial as stamped on the cylinder', path: cylinder('serial'), need: 'unless known' },
  { key: 'work_order', ask: 'Work order', path: ['work_order'], need: 'always' },
  {
    key: 'customer',
    ask: 'Customer',
    path: ['customer'],
    need: 'unless known',
    offers: ({ customers }) => customers,
  },
  {
    key: 'purpose',
    ask: 'Why it is tested',
    path: ['purpose'],
    need: 'always',
    choices: () => purposes,
    usual: (_, { lastPurpose }) =>
      lastPurpose === 'as received' || lastPurpose === 'complaint' ? 'after repair' : 'as received',
  },
  {
    key: 'work_done',
    ask: 'Work done, in one line',
    path: ['work_done'],
    need: 'always',
    optional: true,
    when: ({ purpose }) => purpose === 'after repair',
  },
  {
    key: 'condition',
    ask: 'Condition as received',
    path: ['condition'],
    need: 'always',
    optional: true,
    when: ({ purpose }) => purpose !== 'after repair',
  },
  {
    key: 'kind',
    ask: 'Kind of cylinder',
    path: cylinder('kind'),
    need: 'unless known',
    choices: () => kindsOfJob,
    usual: () => 'double-acting',
  },
  {
    key: 'stage_bores',
    ask: 'Bores of the stages, largest first',
    path: cylinder('stage_bores'),
    need: 'unless known',
    dimension: 'length',
    form: 'list of lengths',
    when: isKind('telescopic'),
  },
  {
    key: 'bore',
    ask: 'Bore',
    path: cylinder('bore'),
    need: 'unless known',
    dimension: 'length',
    when: (answers) => !isKind('telescopic', 'vessel')(answers),
  },
  {
    key: 'rod',
    ask: 'Rod',
    path: cylinder('rod'),
    need: 'unless known',
    dimension: 'length',
    when: isKind('double-acting', 'double-rod', 'single-acting pull'),
  },
  {
    key: 'rod',
    ask: 'Rod, where oil also draws it in',
    path: cylinder('rod'),
    need: 'unless known',
    optional: true,
    dimension: 'length',
    when: isKind('single-acting', 'telescopic'),
  },
  {
    key: 'stroke',
    ask: 'Stroke',
    path: cylinder('stroke'),
    need: 'unless known',
    dimension: 'length',
    when: hasPiston,
  },
  {
    key: 'volume',
    ask: 'Volume of the vessel',
    path: cylinder('volume'),
    need: 'unless known',
    dimension: 'volume',
    when: isKind('vessel'),
  },
  {
    key: 'parts',
    ask: 'Parts that its pressure loads, with commas between',
    path: cylinder('parts'),
    need: 'unless known',
    form: 'list',
    when: isKind('vessel'),
  },
  {
    key: 'rated_pressure',
    ask: 'Rated pressure',
    path: cylinder('rated_pressure'),
    need: 'unless known',
    dimension: 'pressure',
  },
  {
    key: 'fluid',
    ask: 'Oil',
    path: ['fluid', 'kind'],
    need: 'unless known',
    choices: () => fluidNames,
    usual: () => 'ISO VG 46',
  },
  {
    key: 'procedure',
    ask: 'Procedure',
    path: ['procedure'],
    need: 'unless known',
    choices: (_, { procedures }) => procedures.map(({ id }) => id),
    usual: (_, { procedures }) => procedures.find(({ id }) => id === 'cylinder-proof')?.id,
  },
  {
    key: 'gauge',
    ask: 'Gauge',
    path: ['gauge'],
    need: 'unless known',
    choices: (_, { gauges }) => gauges,
    usual: (_, { gauges }) => (gauges.length === 1 ? gauges[0] : undefined),
  },
  {
    key: 'ports',
    ask: 'Ports to test',
    need: 'unless known',
    choices: portChoices,
    usual: (answers) => portChoices(answers)[0],
  },
  {
    key: 'position',
    ask: 'How the piston stands',
    need: 'unless known',
    choices: () => stands,
    usual: () => 'end of stroke',
    when: hasPiston,
  },
  {
    key: 'end_stops',
    ask: 'Who says that the end stops bear the thrust',
    path: cylinder('end_stops'),
    need: 'unless known',
    optional: true,
    when: isFullyOut,
  },
  {
    key: 'opposite',
    ask: 'Other port',
    need: 'further',
    choices: () => ['open', 'blocked', 'gauge'],
    usual: () => 'open',
    when: (answers) => !isKind('plunger', 'single-acting', 'single-acting pull', 'vessel')(answers),
  },
  {
    key: 'line_volume',
    ask: 'Oil in hose and valve block',
    need: 'unless known',
    optional: true,
    dimension: 'volume',
  },
  {
    key: 'booster_stroke',
    ask: 'Oil of one stroke of booster or hand pump',
    path: ['bench', 'booster_stroke'],
    need: 'unless known',
    optional: true,
    dimension: 'volume',
    unit: 'mL',
    usual: (_, { bench }) => bench.booster_stroke,
  },
  {
    key: 'pump_flow',
    ask: 'Flow of the pump',
    path: ['bench', 'pump_flow'],
    need: 'unless known',
    optional: true,
    dimension: 'flow',
    unit: 'mL/min',
    usual: (_, { bench }) => bench.pump_flow,
  },
  { key: 'maker', ask: 'Maker', path: cylinder('maker'), need: 'further', optional: true },
  { key: 'model', ask: 'Model', path: cylinder('model'), need: 'further', optional: true },
  {
    key: 'barrel_outside',
    ask: 'Outside diameter of the barrel',
    path: cylinder('barrel_outside'),
    need: 'further',
    optional: true,
    dimension: 'length',
    when: hasPiston,
  },
  {
    key: 'test_pressure_max',
    ask: 'Highest test pressure that the maker allows',
    path: cylinder('test_pressure_max'),
    need: 'further',
    optional: true,
    dimension: 'pressure',
  },
  {
    key: 'customer_address',
    ask: 'Address of the customer',
    path: ['customer_address'],
    need: 'further',
    optional: true,
  },
  { key: 'order', ask: "Customer's order number", path: ['order'], need: 'further', optional: true },
  {
    key: 'received',
    ask: 'Day of receipt',
    path: ['received'],
    need: 'further',
    optional: true,
    form: 'date',
  },
  { key: 'part', ask: 'Part number', path: cylinder('part'), need: 'further', optional: true },
  { key: 'asset', ask: 'Asset number', path: cylinder('asset'), need: 'further', optional: true },
  { key: 'place', ask: 'Place in the machine', path: cylinder('place'), need: 'further', optional: true },
  { key: 'seal_kit', ask: 'Seal kit', path: cylinder('seal_kit'), need: 'further', optional: true },
  { key: 'sensor', ask: 'Sensor', path: cylinder('sensor'), need: 'further', optional: true },
  { key: 'valves', ask: 'Valves on the body', path: cylinder('valves'), need: 'further', optional: true },
  {
    key: 'valves_tested',
    ask: 'Tested with or without them',
    path: cylinder('valves_tested'),
    need: 'always',
    choices: () => ['with', 'without'],
    usual: () => 'with',
    when: ({ valves }) => Boolean(valves),
  },
  {
    key: 'cleanliness',
    ask: 'Cleanliness of the oil',
    path: ['fluid', 'cleanliness'],
    need: 'further',
    optional: true,
  },
  { key: 'torque', ask: 'Declared torque: part, torque, tool', need: 'further', optional: true, form: 'torque' },
  { key: 'oil_probe', ask: 'Oil probe', path: ['oil_probe'], need: 'further', optional: true },
];

/** Questions that these answers lead to. */
export const questionsFor = (answers: Answers): readonly JobQuestion[] =>
  jobQuestions.filter(({ when }) => when === undefined || when(answers));
