import { expect, it } from 'vitest';
import { scenarios } from '../../../drivers/simulated/index.js';
import { judged } from './judged.js';

it.each(scenarios.map((scenario) => [scenario.id, scenario] as const))(
  '%s gets the verdict that its truth demands with each of 20 seeds',
  async (_id, scenario) => {
    const wrong: string[] = [];
    for (let seed = 1; seed <= 20; seed++)
      for (const { port, verdict, reason } of (await judged(scenario, seed)).result.ports)
        if (verdict !== scenario.truth.verdict[port]) wrong.push(`seed ${seed} port ${port}: ${verdict}, ${reason}`);
    expect(wrong).toEqual([]);
  },
);
