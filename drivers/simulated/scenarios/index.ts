import { glandLeak, trappedAir } from './copperline.js';
import type { DemoScenario } from './demo-scenario.js';
import { pistonSealLeak, shutValve, tight } from './tarn-quarry.js';

export { type DemoHold, type DemoScenario, type DemoTruth, demoShop, type TrueVerdict } from './demo-scenario.js';
export { jobText, procedureId, procedureText } from './job-text.js';

/** The demo's cylinders in the order in which they are shown; the last is the trap. */
export const scenarios: readonly DemoScenario[] = [tight, pistonSealLeak, glandLeak, trappedAir, shutValve];

/**
 * A scenario by its id.
 * @throws Error when there is none of that name
 */
export function scenarioNamed(id: string): DemoScenario {
  const found = scenarios.find((scenario) => scenario.id === id);
  if (!found) throw new Error(`no scenario "${id}" (known: ${scenarios.map((scenario) => scenario.id).join(', ')})`);
  return found;
}
