import { expect, it } from 'vitest';
import { createSimulatedGauge, scenarios } from '../../drivers/simulated/index.js';
import { PracticeHand } from '../../src/cli/practice-hand.js';

it('works both ports and a repeat by Enter alone, whatever is pressed in between', async () => {
  const scenario = scenarios.find(({ ports }) => ports.A && ports.B);
  if (!scenario) throw new Error('no scenario with two ports');
  const gauge = createSimulatedGauge({
    ports: scenario.ports,
    instrument: scenario.instrument,
    seed: 5,
    ratePerS: scenario.ratePerS,
    speed: 'as fast as possible',
    attended: true,
  });
  await gauge.open();
  const hand = new PracticeHand(['A', 'B']);
  expect(hand.next).toBe('Enter pumps up port A when the test asks for it');
  const highest: [port: string, pa: number][] = [];
  let [readings, phase, held, highestPa] = [0, '', 0, 0];
  for await (const item of gauge.items()) {
    if (item.kind !== 'reading') continue;
    readings += 1;
    held = gauge.hand.phase === 'hold' ? held + 1 : 0;
    const moved = gauge.hand.phase !== phase;
    phase = gauge.hand.phase;
    highestPa = Math.max(highestPa, item.reading.pressurePa ?? 0);
    if (moved && phase === 'bleed') {
      highest.push([gauge.hand.port, highestPa]);
      highestPa = 0;
    }
    if (highest.length === 3 || readings > 200_000) break;
    // A key in every phase, and the one that ends a hold after a while.
    if ((moved && phase !== 'hold') || held === 50) {
      const { command, says } = hand.enter(gauge.hand);
      expect(says).toMatch(/port [AB]/);
      if (command) gauge.operate(command);
    }
  }
  await gauge.close();
  expect(highest.map(([port]) => port)).toEqual(['A', 'B', 'A']);
  expect(hand.enter({ port: 'A', phase: 'done' }, ' a').command).toEqual({ kind: 'begin', port: 'A' });
  for (const [, pa] of highest) expect(pa).toBeGreaterThan(5e6);
});
