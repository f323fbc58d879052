import { spawn, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { type AuditReport, auditOnAllCores, judgeStored, verifyStore } from '../../../src/audit/index.js';
import { openStore } from '../../../src/record/index.js';
import { scratchFolder } from '../../record/sample-test.js';
import { alteredStore } from './altered-store.js';

const program = path.resolve(import.meta.dirname, '../../../dist/src/cli/main.js');
const folder = scratchFolder();
const database = path.join(folder, 'record.db');
writeFileSync(path.join(folder, 'dwellmark.toml'), 'name = "Kestrel Hydraulics"\n');
alteredStore(database, { tests: 400, seconds: 20 });

/** The environment in which every thread but the first begins with this. */
function threadsBegin(name: string, script: string): NodeJS.ProcessEnv {
  const file = path.join(folder, `${name}.mjs`);
  writeFileSync(file, `import { isMainThread } from 'node:worker_threads';\nif (!isMainThread) { ${script} }\n`);
  return { ...process.env, NODE_OPTIONS: `--import ${pathToFileURL(file).href}` };
}

function dwellmark(command: readonly string[], env = process.env): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync('node', [program, ...command, '--json', '--shop', folder], {
    encoding: 'utf8',
    maxBuffer: 1 << 28,
    env,
  });
  return { code: status, out: stdout, err: stderr };
}

function startNone(): never {
  throw new Error('one thread needs no other');
}

describe('the built program checks a store of 400 tests on all cores', async () => {
  const store = openStore(database, { mode: 'read' });
  const alone = verifyStore(store, judgeStored);
  const oneThread = { count: 1, fewestTests: 1, start: startNone };
  const shop = { name: 'Kestrel Hydraulics', address: '' };
  const audited = await auditOnAllCores(store, { shop, version: '' }, oneThread);
  store.close();

  it('verify --all: the report of one thread, letter for letter', () => {
    expect(alone.problems.length).toBeGreaterThan(40);
    const { code, out, err } = dwellmark(['verify', '--all']);
    expect(out).toBe(`${JSON.stringify(alone, null, 2)}\n`);
    expect(code).toBe(4);
    expect(err).toBe('');
  });

  it('audit: the same findings, the same verdicts judged differently, the same suspicions', () => {
    const { code, out } = dwellmark(['audit']);
    const { verification, judgedAgain, suspicions, notLookedThrough } = JSON.parse(out) as AuditReport;
    expect({ verification, judgedAgain, suspicions, notLookedThrough }).toEqual({
      verification: audited.verification,
      judgedAgain: audited.judgedAgain,
      suspicions: audited.suspicions,
      notLookedThrough: audited.notLookedThrough,
    });
    expect(code).toBe(4);
  });

  it.each([
    ['do not start', "throw new Error('no thread here');", 'no thread here'],
    ['end at once', 'process.exit(9);', 'ended with code 9'],
    [
      'end in the midst of it',
      `const { parentPort } = await import('node:worker_threads');
       const post = parentPort.postMessage.bind(parentPort);
       let left = 5;
       parentPort.postMessage = (answer) => ((left -= 1) < 0 ? process.exit(9) : post(answer));`,
      'ended with code 9',
    ],
  ])('threads that %s: the same report, and it is told', (name, script, told) => {
    const { code, out, err } = dwellmark(['verify', '--all'], threadsBegin(name.replaceAll(' ', '-'), script));
    expect(out).toBe(`${JSON.stringify(alone, null, 2)}\n`);
    expect(code).toBe(4);
    expect(err).toContain(told);
  });

  it('an interrupt ends it at once, whatever the threads are at', async () => {
    const env = threadsBegin(
      'stand',
      "const { writeSync } = await import('node:fs'); writeSync(2, 'standing'); Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);",
    );
    const child = spawn('node', [program, 'verify', '--all', '--shop', folder], { env });
    await new Promise<void>((resolve) => child.stderr.once('data', () => resolve()));
    const before = performance.now();
    child.kill('SIGINT');
    const signal = await new Promise((resolve) => child.once('exit', (_code, by) => resolve(by)));
    expect(signal).toBe('SIGINT');
    expect(performance.now() - before).toBeLessThan(10_000);
  });
});
