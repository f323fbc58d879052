import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scratchFolder, seeded } from '../sample-test.js';
import { type Acknowledged, expectNothingLost, takeIn } from './acknowledged.js';
import { killAmongWriters } from './several-writers.js';

const child = join(import.meta.dirname, 'writing-child.ts');
/** Forty in the usual run; DWELLMARK_KILLS=200 for a campaign. */
const kills = Number(process.env.DWELLMARK_KILLS ?? 40);

/** Lets a child write for a while, then kills it; gives what it had said by then. */
function writeAndKill(path: string, afterMs: number): Promise<string> {
  return new Promise((done) => {
    const writer = spawn(process.execPath, ['--import', 'tsx', child, path], { stdio: ['ignore', 'pipe', 'inherit'] });
    let said = '';
    writer.stdout.on('data', (data: Buffer) => {
      if (said === '') setTimeout(() => writer.kill('SIGKILL'), afterMs);
      said += data.toString();
    });
    writer.once('close', () => done(said));
  });
}

describe.each([2, 4])('%i programs that write at once', (writers) => {
  it(`lose nothing that was acknowledged when one of them is killed (${kills / 4} times)`, async () => {
    const seed = Number(process.env.DWELLMARK_SEED ?? Math.floor(Math.random() * 1e6));
    await killAmongWriters(join(scratchFolder(), 'several.db'), kills / 4, writers, seed);
  });
});

describe(`${kills} SIGKILLs while writing`, () => {
  it('lose no acknowledged reading and break no chain', async () => {
    const path = join(scratchFolder(), 'killed.db');
    const known: Acknowledged = { readings: new Map(), sealed: new Set() };
    const random = seeded(11);
    for (let kill = 0; kill < kills; kill += 1) {
      const said = await writeAndKill(path, random() * 40);
      expect(said).not.toContain('refused');
      takeIn(said, known);
      if (kill % 10 === 9) expectNothingLost(path, known);
    }
    expectNothingLost(path, known);
    expect(known.sealed.size).toBeGreaterThan(10);
  });
});
