import { z } from 'zod';
import type { DriverModule } from '../../src/gauge/index.js';
import { readDriverSettings } from '../driver-settings.js';
import { scenarioNamed, scenarios } from './scenarios/index.js';
import { createSimulatedGauge } from './simulated-gauge.js';

const settingsTable = z.strictObject({
  /** One of the demo's cylinders. */
  scenario: z.enum(scenarios.map(({ id }) => id)),
  /** One port only; absent: all that the scenario has. */
  port: z.enum(['A', 'B']).optional(),
  seed: z.int().optional(),
  /** Readings a second; absent: the scenario's own. */
  rate: z.number().positive('more than zero').optional(),
  /** Simulated seconds in a second; 0: as fast as it goes. 1 when absent. */
  speed: z.number().min(0, 'not negative').optional(),
});

/** The simulated bench as a gauge of the shop file. */
export const driver: DriverModule = {
  name: 'simulated',
  summary: 'a simulated bench with one of the demo cylinders on it, for trying things out',
  create(settings) {
    const { scenario, port, seed, rate, speed } = readDriverSettings('simulated', settingsTable, settings);
    const chosen = scenarioNamed(scenario);
    const { A, B } = chosen.ports;
    return createSimulatedGauge({
      ports: { ...(A && port !== 'B' ? { A } : {}), ...(B && port !== 'A' ? { B } : {}) },
      instrument: chosen.instrument,
      seed: seed ?? 1,
      ratePerS: rate ?? chosen.ratePerS,
      speed: speed === 0 ? 'as fast as possible' : (speed ?? 1),
    });
  },
};
