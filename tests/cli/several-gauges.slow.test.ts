import { appendFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { runProgram, startProgram, until, withStore } from '../bench-live/bench-process.js';
import { quickGauge, writeQuickShop } from '../bench-live/quick-bench.js';
import { Cable } from '../drivers/pty.js';

const closing: (() => void)[] = [];
afterAll(() => {
  for (const close of closing.reverse()) close();
});

interface Bench {
  readonly folder: string;
  readonly job: string;
  readonly ports: { readonly A: Cable; readonly B: Cable; readonly oil: Cable };
}

interface Hold {
  readonly dwellS: number;
  /** How long the cylinder stays shut in. */
  readonly holdS: number;
}

const ordinary: Hold = { dwellS: 5, holdS: 12 };

/** A gauge on each port and a probe in the oil, each an instrument of its own on its own line, beat and clock. */
async function layBench({ dwellS, holdS }: Hold = ordinary): Promise<Bench> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-several-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const ports = { A: await Cable.lay(), B: await Cable.lay(), oil: await Cable.lay() };
  const options = { dwellS, attended: false, ports: ['A', 'B'] as const, holdS };
  const job = writeQuickShop(folder, ports.A.path, options);
  const shopFile = path.join(folder, 'dwellmark.toml');
  const shop = readFileSync(shopFile, 'utf8').replace('{pressure} {unit} {oil} {oil_unit}', '{pressure} {unit}');
  writeFileSync(shopFile, shop);
  appendFileSync(
    shopFile,
    `
[[gauge]]
serial = "BL-1002"
range = "0..100 bar"
resolution = "0.01 bar"
accuracy = "0.1 %FS"
driver = "ascii-stream"
simulated = true
[gauge.line]
path = "${ports.B.path}"
baud_rate = 9600
pattern = "P {pressure}"
unit = "bar"

[[probe]]
serial = "OT-12"
range = "-20..120 C"
accuracy = "0.2 K"
driver = "ascii-stream"
simulated = true
[probe.line]
path = "${ports.oil.path}"
baud_rate = 9600
pattern = "{oil} C"
unit = "bar"
[probe.calibration]
certificate = "CAL-0407"
laboratory = "Brackwater Metrology"
date = "2026-03-14"
due = "2027-03-14"
`,
  );
  const text = readFileSync(job, 'utf8')
    .replace('units = "bar"', 'units = "bar"\noil_probe = "OT-12"')
    .replace('name = "A"', 'name = "A"\nopposite_gauge = "BL-1002"')
    .replace('name = "B"', 'name = "B"\ngauge = "BL-1002"\nopposite_gauge = "BL-1001"');
  writeFileSync(job, text);
  return { folder, job, ports };
}

/** Lets the instruments speak: the simulated cylinder at the port under test, a vented line at the other, the oil slowly. */
function letSpeak(
  { ports }: Bench,
  hold: Hold = ordinary,
): { readonly gauge: ReturnType<typeof quickGauge>; readonly over: Promise<void> } {
  const gauge = quickGauge({ ...hold, attended: false, ports: ['A', 'B'], ratePerS: 20 });
  const say = (port: Cable, text: string) => void port.send(text).catch(() => undefined);
  const inBar = (pa: number) => (pa / 1e5).toFixed(2);
  let underTest: 'A' | 'B' = 'A';
  let newest = 0;
  const vented = setInterval(() => {
    if (underTest === 'A') say(ports.B, `P 0.0${Math.floor(Math.random() * 3)}\r\n`);
    else say(ports.A, `+0.0${Math.floor(Math.random() * 3)} bar\r\n`);
  }, 130);
  const oil = setInterval(() => say(ports.oil, `${(21 + newest / 1e9).toFixed(2)} C\r\n`), 700);
  const run = async () => {
    await gauge.open();
    for await (const item of gauge.items()) {
      if (item.kind !== 'reading' || item.reading.pressurePa === null) continue;
      underTest = gauge.hand.port;
      newest = item.reading.pressurePa;
      if (underTest === 'A') say(ports.A, `+${inBar(newest)} bar\r\n`);
      else say(ports.B, `P ${inBar(newest)}\r\n`);
    }
  };
  const over = run().finally(() => {
    clearInterval(vented);
    clearInterval(oil);
  });
  closing.push(() => {
    void gauge.close();
    for (const port of Object.values(ports)) void port.unplug();
  });
  return { gauge, over };
}

const unattended = ['--unattended', '--json', '--technician', 'Marek Dunn'];

describe('several gauges at once, each on its own line', () => {
  it('both ports tested by their own gauges, the other port and the oil beside them', async () => {
    const bench = await layBench();
    const plan = await runProgram(['plan', bench.job, '--shop', bench.folder]);
    expect(plan.said).toMatch(/BL-1002/);
    expect(plan.said).toMatch(/OT-12/);
    const { child, said } = startProgram(['test', bench.job, ...unattended, '--shop', bench.folder]);
    const { over } = letSpeak(bench);
    const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
    expect(said()).toMatch(/"verdict": "pass"/);
    expect(code, said()).toBe(0);
    await over;
    withStore(bench.folder, (store) => {
      const [line] = store.tests();
      const test = line?.test ?? '';
      const { header, result } = store.test(test);
      expect(header.gauge.others?.map(({ gauge }) => gauge)).toEqual(['BL-1002', 'OT-12']);
      expect(header.plan.oilProbe?.calibration?.certificate).toBe('CAL-0407');
      expect(header.plan.ports.map(({ gauge, oppositeGauge }) => [gauge?.serial, oppositeGauge?.serial])).toEqual([
        [undefined, 'BL-1002'],
        ['BL-1002', 'BL-1001'],
      ]);
      expect(result?.ports.map(({ port, verdict }) => [port, verdict])).toEqual([
        ['A', 'pass'],
        ['B', 'pass'],
      ]);
      const trace = [...store.trace(test)];
      const held = trace.filter(({ pressurePa }) => (pressurePa ?? 0) > 50e5);
      expect(held.length).toBeGreaterThan(300);
      for (const channel of ['oppositePa', 'oilK'] as const) {
        const carried = held.filter((reading) => reading[channel] !== null);
        expect(carried.length / held.length).toBeGreaterThan(0.95);
      }
      for (const { oppositePa, oilK } of held) {
        expect(oppositePa === null || (oppositePa >= 0 && oppositePa <= 3000)).toBe(true);
        expect(oilK === null || Math.abs(oilK - 294.15) < 0.05).toBe(true);
      }
      expect(trace.every(({ timeUs }, index) => timeUs > (trace[index - 1]?.timeUs ?? -1))).toBe(true);
      expect(result?.ports.every(({ stages }) => stages[0]?.temperatureCorrected)).toBe(true);
      const raw = new Map<string | undefined, string>();
      for (const { gauge, text } of store.rawLines(test)) raw.set(gauge, text);
      expect([...raw.keys()].sort()).toEqual(['BL-1001', 'BL-1002', 'OT-12']);
      expect(raw.get('OT-12')).toMatch(/^21\.\d\d C$/);
      expect(store.tests({ gauge: 'OT-12' }).map((one) => one.test)).toEqual([test]);
    });
    for (const serial of ['BL-1002', 'OT-12', 'BL-1001']) {
      const recalled = await runProgram(['recall', '--gauge', serial, '--json', '--shop', bench.folder]);
      expect(recalled.said).toMatch(/T-\d{4}-0001/);
    }
  });

  it('one that is unplugged in the dwell is named and missing from then on; the pressure under test stands', async () => {
    // A dwell counts from the last rise: when it is told, a good part of it has gone by.
    const hold = { dwellS: 12, holdS: 18 };
    const bench = await layBench(hold);
    writeFileSync(bench.job, readFileSync(bench.job, 'utf8').replace(/\n\[\[port\]\]\nname = "B"[\s\S]*$/, '\n'));
    const { child, said } = startProgram(['test', bench.job, ...unattended, '--shop', bench.folder]);
    letSpeak(bench, hold);
    await until('the dwell has begun', () => /Dwell of/.test(said()));
    await new Promise((resolve) => setTimeout(resolve, 1500));
    await bench.ports.oil.unplug();
    await bench.ports.B.unplug();
    const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
    expect(said()).toMatch(/gauge OT-12: the device at .* is gone/);
    expect(said()).toMatch(/gauge BL-1002: the device at .* is gone/);
    expect(code, said()).toBe(0);
    withStore(bench.folder, (store) => {
      const test = store.tests()[0]?.test ?? '';
      const { result } = store.test(test);
      expect(result?.verdict).toBe('pass');
      const faults = result?.ports[0]?.events.filter(({ code: of }) => of === 'gauge-fault') ?? [];
      expect(faults.filter(({ text }) => text.includes('is gone')).map(({ grade }) => grade)).toEqual(['warn', 'warn']);
      const dwell = result?.ports[0]?.stages[0];
      const late = [...store.trace(test)].filter(({ timeUs }) => timeUs > (dwell?.dwellEndUs ?? 0) - 500_000);
      expect(late.length).toBeGreaterThan(10);
      expect(late.every(({ oppositePa, oilK }) => oppositePa === null && oilK === null)).toBe(true);
    });
  });

  it('one that is not there when the test is to begin: exit 5, the port by name, and no test in the record', async () => {
    const bench = await layBench();
    await bench.ports.oil.unplug();
    const { code, said } = await runProgram(['test', bench.job, ...unattended, '--shop', bench.folder]);
    expect(code).toBe(5);
    expect(said).toContain(bench.ports.oil.path);
    withStore(bench.folder, (store) => expect(store.tests()).toEqual([]));
  });
});
