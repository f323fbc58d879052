import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { expect } from 'vitest';
import { openStore } from '../../../src/record/index.js';
import { seeded } from '../sample-test.js';
import { type Acknowledged, expectNothingLost, takeIn } from './acknowledged.js';

const child = join(import.meta.dirname, 'writing-child.ts');

interface Writer {
  readonly process: ChildProcess;
  readonly said: () => string;
  /** The first words: from then on a kill is one while it writes. */
  readonly spoke: Promise<void>;
  readonly ended: Promise<void>;
}

function writing(path: string): Writer {
  const process_ = spawn(process.execPath, ['--import', 'tsx', child, path], { stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  let speak = (): void => {};
  const spoke = new Promise<void>((done) => {
    speak = done;
  });
  process_.stdout.on('data', (data: Buffer) => {
    said += data.toString();
    speak();
  });
  const ended = new Promise<void>((done) => process_.once('close', () => done()));
  return { process: process_, said: () => said, spoke, ended };
}

/**
 * Several programs write tests into one store at once; time and again one of them is killed after it has said that
 * something is stored, and another takes its place. Nothing that was said is lost, and the ledger is one chain.
 */
export async function killAmongWriters(path: string, kills: number, writers: number, seed: number): Promise<void> {
  process.stdout.write(`${writers} writers, ${kills} kills, seed ${seed}\n`);
  openStore(path, { mode: 'write' }).close();
  const random = seeded(seed);
  const known: Acknowledged = { readings: new Map(), sealed: new Set() };
  const running = Array.from({ length: writers }, () => writing(path));
  const closed: Writer[] = [];
  for (let kill = 0; kill < kills; kill += 1) {
    const place = Math.floor(random() * writers);
    const victim = running[place] as Writer;
    await victim.spoke;
    await new Promise((later) => setTimeout(later, random() * 60));
    victim.process.kill('SIGKILL');
    await victim.ended;
    closed.push(victim);
    running[place] = writing(path);
  }
  for (const writer of running) writer.process.kill('SIGKILL');
  await Promise.all(running.map(({ ended }) => ended));
  for (const writer of [...closed, ...running]) {
    expect(writer.said()).not.toContain('refused');
    takeIn(writer.said(), known);
  }
  expectNothingLost(path, known);
  expect(known.readings.size).toBeGreaterThan(writers);
}
