import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import { openStore } from '../../src/record/index.js';
import { Cable } from '../drivers/pty.js';
import { dwellmark } from './command-line.js';

/** A shop that knows no gauge, for all tests of a file, and for each of them a cable on which one may talk. */
export function talkingShop() {
  let folder = '';
  let cable: Cable;
  let talk: NodeJS.Timeout | undefined;
  const shopFile = (): string => path.join(folder, 'dwellmark.toml');
  beforeAll(() => {
    folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-gauge-'));
    writeFileSync(shopFile(), 'name = "Harrow Fell Hydraulics" # ours\ndatabase = "record.db"\n');
    openStore(path.join(folder, 'record.db'), { mode: 'write' }).close();
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  beforeEach(async () => {
    cable = await Cable.lay();
  });
  afterEach(async () => {
    clearInterval(talk);
    await cable.unplug();
  });
  /** A gauge that talks by itself, its value falling by a step each time. */
  const talking = (lineAt: (index: number) => string, everyMs = 10): void => {
    let index = 0;
    talk = setInterval(() => void cable.send(lineAt(index++)).catch(() => undefined), everyMs);
  };
  /** `gauge add` of what talks on the cable. */
  const add = (...args: readonly string[]) =>
    dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, ...args);
  return { shop: () => folder, shopFile, cable: () => cable, talking, add };
}
