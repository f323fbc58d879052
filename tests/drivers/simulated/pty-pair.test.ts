import { open } from 'node:fs/promises';
import { setTimeout as sleep } from 'node:timers/promises';
import { expect, it } from 'vitest';
import { openPtyPair } from '../../../drivers/simulated/index.js';

it('a cable that nobody reads holds nothing else up, and loses no byte once it is read', async () => {
  const pair = await openPtyPair();
  const sent = Buffer.from(Array.from({ length: 100_000 }, (_, i) => 33 + (i % 90)));
  let written = false;
  const writing = Promise.all([pair.write(sent.subarray(0, 60_000)), pair.write(sent.subarray(60_000))]).then(() => {
    written = true;
  });
  await sleep(50);
  expect(written).toBe(false);
  const port = await open(pair.path, 'r');
  const heard: Buffer[] = [];
  for (let bytes = 0; bytes < sent.length; ) {
    const { bytesRead, buffer } = await port.read(Buffer.alloc(4096), 0, 4096);
    heard.push(buffer.subarray(0, bytesRead));
    bytes += bytesRead;
  }
  await writing;
  await port.close();
  pair.close();
  expect(Buffer.concat(heard).equals(sent)).toBe(true);
});
