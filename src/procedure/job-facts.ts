/** Why a cylinder is tested. */
export const purposes = ['as received', 'after repair', 'complaint', 'routine'] as const;
export type Purpose = (typeof purposes)[number];

/** Whether valves on the cylinder's body stayed on during the test. */
export const valvesTested = ['with', 'without'] as const;

/** What a job says of the item and the work beyond what the test needs; nothing is computed from it. */
export interface JobFacts {
  readonly purpose?: Purpose;
  /** The customer's order number. */
  readonly order?: string;
  readonly workDone?: string;
  readonly part?: string;
  /** Number of the machine or cylinder in the customer's books. */
  readonly asset?: string;
  /** Where in the machine the cylinder works. */
  readonly place?: string;
  readonly sealKit?: string;
  /** Position sensor in or on the cylinder. */
  readonly sensor?: string;
  readonly valves?: { readonly name: string; readonly tested: (typeof valvesTested)[number] };
  /** Cleanliness code of the oil. */
  readonly cleanliness?: string;
  /** As declared by whoever tightened; the text of the figure is kept. */
  readonly torques?: readonly { readonly part: string; readonly torque: string; readonly tool: string }[];
}

/** A fact by its name; those of the item come first. */
export interface FactRow {
  readonly name: Exclude<keyof JobFacts, 'torques'> | 'torque';
  readonly of: 'item' | 'work';
  readonly text: string;
}

/** The facts that a job states, in the order in which they are printed. Valves carry how they were tested. */
export function factRows(facts: JobFacts): readonly FactRow[] {
  const row = (of: FactRow['of'], name: Exclude<FactRow['name'], 'torque' | 'valves'>): FactRow[] => {
    const text = facts[name];
    return text === undefined ? [] : [{ name, of, text }];
  };
  const { valves, torques = [] } = facts;
  return [
    ...row('item', 'part'),
    ...row('item', 'asset'),
    ...row('item', 'place'),
    ...row('item', 'sensor'),
    ...(valves === undefined ? [] : [{ name: 'valves', of: 'item', text: valves.name } as const]),
    ...row('work', 'purpose'),
    ...row('work', 'order'),
    ...row('work', 'workDone'),
    ...row('work', 'sealKit'),
    ...torques.map(
      ({ part, torque, tool }) => ({ name: 'torque', of: 'work', text: `${part} ${torque} (${tool})` }) as const,
    ),
    ...row('work', 'cleanliness'),
  ];
}

const factNames: Readonly<Record<FactRow['name'], string>> = {
  part: 'part number',
  asset: 'asset number',
  place: 'place in machine',
  sensor: 'sensor',
  valves: 'valves on body',
  purpose: 'purpose',
  order: 'customer order',
  workDone: 'work done',
  sealKit: 'seal kit',
  torque: 'declared torque',
  cleanliness: 'oil cleanliness',
};

/** The same in English: name and text. */
export const namedFacts = (facts: JobFacts): readonly (readonly [string, string])[] =>
  factRows(facts).map(({ name, text }) => [
    factNames[name],
    name === 'valves'
      ? `${text}, ${facts.valves?.tested === 'with' ? 'on during the test' : 'taken off for the test'}`
      : text,
  ]);
