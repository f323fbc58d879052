import { describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  cylinderOnBench,
  type OperatorPhase,
  type OperatorScript,
} from '../../../drivers/simulated/index.js';
import { quietInstrument, run } from './run.js';

const cylinder = { boreM: 0.1, rodM: 0.056, strokeM: 0.5, lineM3: 0.3e-3 };
const noHeat = { heat: { compressionHeat: false } };
const twoStages: OperatorScript = {
  stages: [
    { targetPa: 20e5, overshoot: 0.02, pauseS: 0, holdS: 20 },
    {
      targetPa: 150e5,
      overshoot: 0.02,
      pumpToPa: 100e5,
      pauseS: 6,
      holdS: 30,
      topUpAtS: [10],
      valveMoved: { atS: 20, forS: 1, opening: 0.002 },
    },
  ],
  ventedS: 5,
  bleedS: 20,
  boosterRampPaPerS: 4e5,
};

describe('the hand on the valves', () => {
  it('goes from pump to booster to hold, stage by stage, and bleeds down at the end', async () => {
    const { gauge } = await run({ ports: { A: cylinderOnBench('A', cylinder, twoStages, noHeat) } });
    const phases = gauge.truth().samples.map(({ phase }) => phase);
    const order = phases.filter((phase, index) => phase !== phases[index - 1]);
    expect(order).toEqual(['vented', 'pump', 'hold', 'pump', 'pause', 'booster', 'hold', 'bleed', 'done']);
    const holds = gauge.truth().during('A', 'hold');
    expect(holds[0]?.pressurePa ?? 0).toBeGreaterThan(20.4e5);
    expect(holds[0]?.pressurePa ?? 0).toBeLessThan(21.5e5);
  });

  it('tops up and moves a valve inside the hold when its script says so', async () => {
    const { gauge } = await run({ ports: { A: cylinderOnBench('A', cylinder, twoStages, noHeat) } });
    const hold = gauge
      .truth()
      .during('A', 'hold')
      .filter(({ pressurePa }) => pressurePa > 50e5);
    const startUs = hold[0]?.timeUs ?? 0;
    const at = (second: number): number => hold.find(({ timeUs }) => timeUs >= startUs + second * 1e6)?.pressurePa ?? 0;
    expect(at(19.5) - at(22)).toBeGreaterThan(0.2e5);
    expect(Math.abs(at(12) - at(19))).toBeLessThan(1000);
  });

  it('makes whole booster strokes that show as steps', async () => {
    const { gauge } = await run({ ports: { A: cylinderOnBench('A', cylinder, twoStages, noHeat) } });
    const strokes = gauge.truth().during('A', 'booster');
    const made = (strokes.at(-1)?.strokes ?? 0) - (strokes[0]?.strokes ?? 0);
    const oilMl = ((strokes.at(-1)?.pumpedM3 ?? 0) - (strokes[0]?.pumpedM3 ?? 0)) * 1e6;
    expect(made).toBeGreaterThan(10);
    expect(Math.abs(oilMl - made)).toBeLessThan(0.4);
    const rises = strokes.slice(1).map((sample, index) => sample.pressurePa - (strokes[index]?.pressurePa ?? 0));
    expect(Math.max(...rises)).toBeGreaterThan(5 * Math.min(...rises));
  });

  it('attended, waits to be told to begin, to release the hold, and to go to the other port', async () => {
    const script: OperatorScript = {
      stages: [{ targetPa: 50e5, overshoot: 0.02, pauseS: 0, holdS: 1 }],
      ventedS: 1,
      bleedS: 10,
    };
    const ports = { A: cylinderOnBench('A', cylinder, script), B: cylinderOnBench('B', cylinder, script) };
    const gauge = createSimulatedGauge({
      ports,
      attended: true,
      instrument: quietInstrument,
      seed: 1,
      ratePerS: 10,
      speed: 'as fast as possible',
    });
    await gauge.open();
    const log: string[] = [];
    let last = '';
    let holdBeganUs = 0;
    const at = (second: number, timeUs: number): boolean => Math.abs(timeUs - second * 1e6) < 1;
    for await (const item of gauge.items()) {
      if (item.kind !== 'reading') continue;
      const { timeUs } = item.reading;
      const { port, phase }: { port: string; phase: OperatorPhase } = gauge.hand;
      if (`${port} ${phase}` !== last) log.push(`${port} ${phase}`);
      last = `${port} ${phase}`;
      if (at(20, timeUs)) gauge.operate({ kind: 'begin', port: 'A' });
      if (phase === 'hold' && holdBeganUs === 0) holdBeganUs = timeUs;
      if (holdBeganUs > 0 && timeUs === holdBeganUs + 60e6) gauge.operate({ kind: 'release' });
      if (port === 'A' && phase === 'done') gauge.operate({ kind: 'begin', port: 'B' });
      if (port === 'B' && phase === 'hold') gauge.operate({ kind: 'stop' });
      if (port === 'B' && phase === 'done') await gauge.close();
    }
    expect(log).toEqual([
      'A vented',
      'A pump',
      'A hold',
      'A bleed',
      'A done',
      'B vented',
      'B pump',
      'B hold',
      'B bleed',
      'B done',
    ]);
    const holdA = gauge.truth().during('A', 'hold');
    expect(((holdA.at(-1)?.timeUs ?? 0) - (holdA[0]?.timeUs ?? 0)) / 1e6).toBeCloseTo(60, 0);
    expect((gauge.truth().during('A', 'pump')[0]?.timeUs ?? 0) / 1e6).toBeCloseTo(20.1, 1);
  });

  it('refuses to leave a port under pressure', async () => {
    const script: OperatorScript = {
      stages: [{ targetPa: 50e5, overshoot: 0, pauseS: 0, holdS: 30 }],
      ventedS: 1,
      bleedS: 5,
    };
    const ports = { A: cylinderOnBench('A', cylinder, script), B: cylinderOnBench('B', cylinder, script) };
    const gauge = createSimulatedGauge({
      ports,
      instrument: quietInstrument,
      seed: 1,
      ratePerS: 10,
      speed: 'as fast as possible',
    });
    await gauge.open();
    let message = '';
    for await (const item of gauge.items()) {
      if (item.kind !== 'reading' || gauge.hand.phase !== 'hold') continue;
      try {
        gauge.operate({ kind: 'begin', port: 'B' });
      } catch (error) {
        message = error instanceof Error ? error.message : '';
      }
      await gauge.close();
    }
    expect(message).toBe("port A is under pressure: it can't be left for port B");
  });
});
