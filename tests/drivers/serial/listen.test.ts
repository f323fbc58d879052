import { expect, it } from 'vitest';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { listenForGauge, listPorts } from '../../../drivers/serial/index.js';
import { readCapture } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable } from '../pty.js';

it('an unknown gauge is heard, its shape proposed, and read with what was proposed', async () => {
  const cable = await Cable.lay();
  let count = 0;
  const talk = setInterval(() => void cable.send(`P= ${(250 - count++ / 10).toFixed(1)} bar; T=21.5 \u00b0C\r\n`), 10);
  try {
    const heard = await listenForGauge(cable.path, { listenMs: 400 });
    expect(heard?.line).toMatchObject({ baudRate: 9600, parity: 'none' });
    expect(heard?.proposal).toMatchObject({ fits: 1, unitSeen: true, step: 0.1 });
    if (!heard?.proposal) throw new Error('no proposal');
    const { terminator, line, proposal } = heard;
    const driver = createAsciiStream({ path: cable.path, ...line, terminator, ...proposal.settings });
    await driver.open();
    const seen = new Collected(driver);
    await seen.until(() => seen.readings.length >= 5);
    await driver.close();
    expect(seen.faults).toEqual([]);
    expect(seen.readings[0]?.pressurePa).toBeLessThan(25_000_000);
    expect(seen.readings[0]?.oilK).toBe(294.65);
  } finally {
    clearInterval(talk);
    await cable.unplug();
  }
});

it('a gauge that sends less than once in the time of listening is waited for', async () => {
  const cable = await Cable.lay();
  let [count, slow] = [0, 0];
  const talk = setInterval(() => void cable.send(`${(250 - count++ / 10).toFixed(1)} bar\r\n`), 500);
  const tried: number[] = [];
  try {
    const onTry = ({ baudRate }: { baudRate: number }) => tried.push(baudRate);
    const heard = await listenForGauge(cable.path, { listenMs: 700, onTry, onSlow: () => (slow += 1) });
    expect(heard?.proposal).toMatchObject({ fits: 1, settings: { pattern: '{pressure} {unit}' } });
    expect(heard?.lines.length).toBeGreaterThanOrEqual(3);
    expect([tried, slow]).toEqual([[9600], 1]);
  } finally {
    clearInterval(talk);
    await cable.unplug();
  }
});

it('text that never becomes lines enough to tell is not waited for once they have come', async () => {
  const cable = await Cable.lay();
  const talk = setInterval(() => void cable.send('ready when you are\r\n'), 100);
  const startMs = performance.now();
  let slow = 0;
  try {
    const lineSettings = [{ baudRate: 9600, dataBits: 8, parity: 'none', stopBits: 1 }] as const;
    const heard = await listenForGauge(cable.path, { listenMs: 700, lineSettings, onSlow: () => (slow += 1) });
    expect([heard, slow]).toEqual([undefined, 0]);
    expect(performance.now() - startMs).toBeLessThan(4000);
  } finally {
    clearInterval(talk);
    await cable.unplug();
  }
});

it('a gauge that says nothing proposes nothing', async () => {
  const cable = await Cable.lay();
  const tried: number[] = [];
  const heard = await listenForGauge(cable.path, {
    listenMs: 20,
    lineSettings: [9600, 19_200].map((baudRate) => ({ baudRate, dataBits: 8, parity: 'none', stopBits: 1 })),
    onTry: (line) => tried.push(line.baudRate),
  });
  await cable.unplug();
  expect(heard).toBeUndefined();
  expect(tried).toEqual([9600, 19_200]);
});

it('bytes of another baud rate make no sense', () => {
  expect(readCapture(Buffer.from(Array.from({ length: 400 }, (_, index) => (index * 89) & 0xff)))).toBeUndefined();
  expect(readCapture(Buffer.from('7'.repeat(400)))).toBeUndefined();
});

it('ports are listed without an error whatever the system keeps of them', async () => {
  for (const port of await listPorts()) expect(port.path).toMatch(/^(?:\/dev\/|COM)/);
});
