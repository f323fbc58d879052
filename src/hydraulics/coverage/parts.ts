/** The parts that a hold can cover, as they are printed. */
export const parts = {
  cap: 'cap',
  capWeld: 'cap weld or cap seal',
  bossA: 'port A boss',
  bossB: 'port B boss',
  barrel: 'barrel',
  capHalf: 'barrel, half at port A',
  rodHalf: 'barrel, half at port B',
  pistonSeal: 'piston seal',
  rodSeal: 'rod seal',
  gland: 'gland O-ring',
  head: 'head',
  headThrust: 'head thread or bolts, by thrust',
  capThrust: 'cap, by thrust',
  stopsThrust: 'end stops, by thrust',
  wiper: 'wiper',
  stageSeals: 'stage seals',
  retractSeals: 'retract seals of the stages',
} as const;

/** What pressure at the cap end loads besides barrel and piston. */
export const capEnd: readonly string[] = [parts.cap, parts.capWeld, parts.bossA];
/** What pressure at the rod end loads besides barrel and piston. */
export const rodEnd: readonly string[] = [parts.rodSeal, parts.gland, parts.head, parts.bossB];
