import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openQuickBench } from '../bench-live/quick-bench.js';
import { papersIn, pngSize, root } from './place.js';

const target = `linux-${process.arch}`;
const canSeal = spawnSync('unshare', ['-mn', 'true']).status === 0;

/** A root that holds the C and C++ libraries, a shell, and the archive, unpacked; nothing else of this computer. */
const bare = mkdtempSync(path.join(tmpdir(), 'dwellmark-bare-'));
const within = (...parts: readonly string[]): string => path.join(bare, ...parts);
let home = '';

beforeAll(() => {
  if (!canSeal) return;
  const output = within('archives');
  execFileSync(process.execPath, [path.join(root, 'src/offline.js'), target, '--output', output]);
  const [archive = ''] = readdirSync(output);
  for (const folder of ['bin', 'dev/pts', 'opt', 'proc', 'tmp']) mkdirSync(within(folder), { recursive: true });
  execFileSync('tar', ['-C', within('opt'), '-xzf', path.join(output, archive)]);
  home = `opt/${archive.replace('.tar.gz', '')}`;
  // musl's own is for another C library.
  const binaries = readdirSync(within(home), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.node') && !file.includes('musl'))
    .map((file) => within(home, file));
  for (const program of ['/bin/sh', within(home, 'node/node'), ...binaries])
    for (const [library] of execFileSync('ldd', [program], { encoding: 'utf8' }).matchAll(/\/\S+/g)) {
      if (library.startsWith(bare)) continue;
      mkdirSync(within(path.dirname(library)), { recursive: true });
      copyFileSync(library, within(library));
    }
  copyFileSync('/bin/sh', within('bin/sh'));
  writeFileSync(within('dev/null'), '');
}, 300_000);
afterAll(() => rmSync(bare, { recursive: true, force: true }));

/** Runs a line in that root, in a network namespace of its own, which has no route and not even a loopback. */
function inside(line: string): Promise<{ readonly code: number | null; readonly said: string }> {
  const mounts = `mount -t proc proc ${within('proc')}; mount --bind /dev/pts ${within('dev/pts')}; mount --bind /dev/null ${within('dev/null')}`;
  const enter = `${mounts}; exec chroot ${bare} /bin/sh -c "$1"`;
  const child = spawn('unshare', ['-mn', '--propagation', 'private', 'bash', '-c', enter, 'bash', line], {
    env: { PATH: '/usr/sbin:/usr/bin:/sbin:/bin' },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (piece) => (said += String(piece)));
  return new Promise((resolve) => child.on('close', (code) => resolve({ code, said })));
}

describe.skipIf(!canSeal)(`the archive for a computer without internet, ${target} (needs unshare -mn)`, () => {
  it('comes to five papers in an empty root without a network, and draws a picture', async () => {
    const networks = await inside(`/${home}/node/node -p 'Object.keys(require("node:os").networkInterfaces()).length'`);
    expect(networks.said.trim()).toBe('0');
    const demo = await inside(`cd /tmp && /${home}/dwellmark demo`);
    expect(demo.code, demo.said).toBe(0);
    expect(papersIn(within('tmp/dwellmark-demo'))).toHaveLength(5);
    const line = `/${home}/dwellmark export T-2026-0002 --shop /tmp/dwellmark-demo -o /tmp/out --format csv,json,parquet,html,bundle,png`;
    const exported = await inside(line);
    expect(exported.code, exported.said).toBe(0);
    expect(pngSize(within('tmp/out/T-2026-0002.png'))[0]).toBe(1440);
    expect((await inside(`/${home}/dwellmark verify --all --shop /tmp/dwellmark-demo`)).code).toBe(0);
  });

  it('tests a port over a pseudo-terminal', async () => {
    const bench = await openQuickBench(within('tmp/shop'), { dwellS: 5, attended: false, ports: ['A'], ventedS: 8 });
    const line = `/${home}/dwellmark test /tmp/shop/job.toml --shop /tmp/shop --unattended --technician "Marek Dunn" --json`;
    const { code, said } = await inside(line);
    await bench.close();
    expect(said).toMatch(/"verdict": "(?:pass|inconclusive)"/);
    expect([0, 3], said).toContain(code);
    expect(said).toMatch(/"dwellS": 5/);
  });

  it('loads every module that it holds, though what nothing loads is left out', async () => {
    const walk = `
      const files = require('node:fs').readdirSync('/${home}/app/dist', { recursive: true });
      const mine = files.filter((file) => file.endsWith('.js') && !/cli\\/main|browser|thread-main/.test(file));
      Promise.all(mine.map((file) => import('/${home}/app/dist/' + file))).then(
        () => { console.log(mine.length + ' loaded'); process.exit(0); },
        (error) => { console.log(error); process.exit(1); });`;
    writeFileSync(within('tmp/walk.cjs'), walk);
    const { code, said } = await inside(`HOME=/ /${home}/node/node /tmp/walk.cjs`);
    expect(code, said).toBe(0);
    expect(Number.parseInt(said, 10)).toBeGreaterThan(500);
  });

  it('has production modules of at most 60 MB, and neither tests nor sources of modules', () => {
    const [size = ''] = execFileSync('du', ['-sm', within(home, 'app/node_modules')], { encoding: 'utf8' }).split('\t');
    process.stdout.write(`production modules: ${size} MB on disk\n`);
    expect(Number(size)).toBeLessThanOrEqual(60);
    expect(existsSync(within(home, 'app/node_modules/better-sqlite3/deps'))).toBe(false);
  });
});
