import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { handOver } from '../../src/cli/hand-over.js';

const patience = { timeoutMs: 20_000, pausesMs: [1, 1] };
let folder = '';
const at = (name: string): string => path.join(folder, name);
const log = (): string[] => readFileSync(at('hooks.log'), 'utf8').trimEnd().split('\n');
/** A line for the shell that runs a script on this Node. */
function script(name: string, text: string): string {
  writeFileSync(at(name), text);
  return `"${process.execPath}" "${at(name)}"`;
}

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark hooks-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a hand-over to a command', () => {
  it('gives it the text, every byte of it, and is told when it was taken', async () => {
    const json = JSON.stringify({ customer: 'Zoë & Søn "№ 5" $(exit 3)', long: 'x'.repeat(300_000) });
    const keeps = script(
      'keeps.cjs',
      `process.stdin.pipe(require('node:fs').createWriteStream(${JSON.stringify(at('got'))}))`,
    );
    expect(await handOver(keeps, 'sealed T-1', json, at('hooks.log'), patience)).toBeNull();
    expect(readFileSync(at('got'), 'utf8')).toBe(json);
    expect(log().at(-1)).toMatch(/^\d{4}-.*Z {2}sealed T-1 {2}try 1 of 3: taken$/);
  });

  it('tries again after a failure, and logs each try', async () => {
    const count = `const fs = require('node:fs'); const f = ${JSON.stringify(at('count'))};
      const n = fs.existsSync(f) ? +fs.readFileSync(f, 'utf8') + 1 : 1; fs.writeFileSync(f, String(n));
      if (n < 3) { console.error('the line is busy'); process.exit(7); }`;
    expect(await handOver(script('third.cjs', count), 'sealed T-2', '{}', at('hooks.log'), patience)).toBeNull();
    expect(log().slice(-3)).toEqual([
      expect.stringContaining('T-2  try 1 of 3: the command ended with 7 (the line is busy)'),
      expect.stringContaining('T-2  try 2 of 3: the command ended with 7 (the line is busy)'),
      expect.stringContaining('T-2  try 3 of 3: taken'),
    ]);
  });

  it('ends one that hangs, with what it started, and gives up after the last try', async () => {
    const child = script('child.cjs', 'setInterval(() => {}, 1000)');
    const hangs = script(
      'hangs.cjs',
      `
      const { pid } = require('node:child_process').spawn(${JSON.stringify(child)}, { shell: true, stdio: 'inherit' });
      require('node:fs').writeFileSync(${JSON.stringify(at('pid'))}, String(pid)); setInterval(() => {}, 1000)`,
    );
    const why = await handOver(hangs, 'sealed T-3', '{}', at('hooks.log'), { timeoutMs: 1500, pausesMs: [] });
    expect(why).toBe('not done in 1.5 s');
    expect(log().at(-1)).toContain('try 1 of 1: not done in 1.5 s; given up');
    const pid = Number(readFileSync(at('pid'), 'utf8'));
    await expect.poll(() => isRunning(pid)).toBe(false);
  });

  it('does not fail for one that never reads', async () => {
    const ends = script('ends.cjs', 'process.exit(0)');
    expect(await handOver(ends, 'sealed T-4', 'x'.repeat(1_000_000), at('hooks.log'), patience)).toBeNull();
  });
});

function isRunning(pid: number): boolean {
  try {
    // A process that has ended and waits to be fetched is over too.
    return !/^State:\s+Z/m.test(readFileSync(`/proc/${pid}/status`, 'utf8'));
  } catch {
    return false;
  }
}

describe('hooks in the shop file', () => {
  const read = (hooks: string) => {
    writeFileSync(at('dwellmark.toml'), `name = "Harrow Fell Hydraulics"\n[hooks]\n${hooks}\n`);
    return readShop(at('dwellmark.toml')).hooks;
  };

  it('are commands or https addresses', () => {
    expect(read('sealed = "python3 a.py --at http://127.0.0.1"\nissued = "HTTPS://erp.example/x"')).toEqual({
      sealed: 'python3 a.py --at http://127.0.0.1',
      issued: 'HTTPS://erp.example/x',
    });
    expect(read('')).toEqual({});
  });

  it.each(['sealed = "http://erp.example/x"', 'issued = "ftp://erp.example"', 'sealed = "https://"'])(
    '%s is refused',
    (line) => {
      expect(() => read(line)).toThrow('an address must begin with https://');
    },
  );

  it('an empty or unknown hook is refused', () => {
    expect(() => read('sealed = " "')).toThrow('write a command or an https address');
    expect(() => read('voided = "x"')).toThrow('voided');
  });
});
