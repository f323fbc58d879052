/**
 * Makes one archive for a computer without internet: the program, its production modules and Node.js, for linux-x64,
 * linux-arm64 and win-x64. `npm run offline -- win-x64 --output DIR` makes that one alone. Versions and hashes are those
 * of package-lock.json; what nothing loads at run time is left out.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { zipSync } from 'fflate';
import { filesBelow, trim } from './trim-modules.js';

const root = path.resolve(import.meta.dirname, '..');
const lock = readJson(path.join(root, 'package-lock.json'));
const { version } = readJson(path.join(root, 'package.json'));

/** What npm, Node.js and the modules call each target. */
const targets = {
  'linux-x64': { os: 'linux', cpu: 'x64' },
  'linux-arm64': { os: 'linux', cpu: 'arm64' },
  'win-x64': { os: 'win32', cpu: 'x64' },
};

function readJson(file) {
  return JSON.parse(readFileSync(file, 'utf8'));
}

/** npm, as this computer starts it. */
function npm(cwd, ...args) {
  const shell = process.platform === 'win32';
  return execFileSync('npm', args, { cwd, shell, encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] });
}

/** Node.js for the target, of the version and hash in the lock file. */
function fetchNode(target, folder) {
  const name = `node-${target}`;
  const locked = lock.packages[`node_modules/${name}`];
  const [packed] = JSON.parse(npm(folder, 'pack', '--json', `${name}@${locked.version}`));
  const tarball = path.join(folder, packed.filename);
  const hash = `sha512-${createHash('sha512').update(readFileSync(tarball)).digest('base64')}`;
  if (hash !== locked.integrity)
    throw new Error(`${name}@${locked.version} is not the one in package-lock.json: ${hash}`);
  execFileSync('tar', ['-xzf', packed.filename], { cwd: folder });
  return path.join(folder, 'package');
}

function starter(target) {
  return target.startsWith('win')
    ? { name: 'dwellmark.cmd', text: '@"%~dp0node\\node.exe" "%~dp0app\\dist\\src\\cli\\main.js" %*\r\n' }
    : {
        name: 'dwellmark',
        text: `#!/bin/sh
# Starts dwellmark with the Node.js beside it, from anywhere, also by a link.
here=$0
while [ -L "$here" ]; do
  link=$(readlink "$here")
  case $link in /*) here=$link ;; *) here=\${here%/*}/$link ;; esac
done
case $here in */*) here=\${here%/*} ;; *) here=. ;; esac
export HOME="\${HOME:-/}"
exec "$here/node/node" "$here/app/dist/src/cli/main.js" "$@"
`,
      };
}

/** @returns the archive's path. */
function make(target, output) {
  const work = mkdtempSync(path.join(tmpdir(), 'dwellmark-offline-'));
  try {
    const name = `dwellmark-${version}-${target}`;
    const app = path.join(work, name, 'app');
    mkdirSync(app, { recursive: true });
    // The modules, from the lock file.
    for (const file of ['package.json', 'package-lock.json', '.ci/node', 'src/certificate/canvas'])
      cpSync(path.join(root, file), path.join(app, file), { recursive: true });
    const { os, cpu } = targets[target];
    const libc = os === 'linux' ? ['--libc=glibc'] : [];
    npm(
      app,
      'ci',
      '--omit=dev',
      '--ignore-scripts',
      '--no-audit',
      '--no-fund',
      '--loglevel=error',
      `--os=${os}`,
      `--cpu=${cpu}`,
      ...libc,
    );
    for (const file of ['.ci', 'src', 'package-lock.json']) rmSync(path.join(app, file), { recursive: true });
    const modules = path.join(app, 'node_modules');
    trim(modules, targets[target]);
    rmSync(path.join(modules, '.bin'), { recursive: true, force: true });
    // chartjs-node-canvas asks for it, and it is ours: a link into src, which is not there.
    const canvas = path.join(modules, 'canvas');
    rmSync(canvas, { recursive: true, force: true });
    cpSync(path.join(root, 'src/certificate/canvas'), canvas, { recursive: true });
    // The program, as it is packed.
    const [packed] = JSON.parse(npm(root, 'pack', '--json', '--dry-run', '--ignore-scripts'));
    for (const { path: file } of packed.files.filter((each) => !each.path.startsWith('node_modules/')))
      cpSync(path.join(root, file), path.join(app, file));
    // Node.js, with its licence.
    const node = fetchNode(target, work);
    const program = os === 'win32' ? 'node.exe' : 'node';
    mkdirSync(path.join(work, name, 'node'));
    cpSync(path.join(node, 'bin', program), path.join(work, name, 'node', program));
    for (const file of readdirSync(node).filter((each) => /^LICENSE/.test(each)))
      cpSync(path.join(node, file), path.join(work, name, 'node', file));
    const start = starter(target);
    writeFileSync(path.join(work, name, start.name), start.text);
    chmodSync(path.join(work, name, start.name), 0o755);
    tellSize(target, modules);
    return pack(work, name, os, output);
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

function tellSize(target, modules) {
  const bytes = filesBelow(modules).reduce((sum, file) => sum + statSync(path.join(modules, file)).size, 0);
  process.stderr.write(`${target}: production modules ${(bytes / 1e6).toFixed(1)} MB\n`);
}

function pack(work, name, os, output) {
  mkdirSync(output, { recursive: true });
  if (os !== 'win32') {
    const archive = path.join(output, `${name}.tar.gz`);
    execFileSync('tar', ['-C', work, '-czf', archive, name]);
    return archive;
  }
  // A zip, which Windows opens by itself.
  const entries = filesBelow(path.join(work, name)).map((file) => [
    `${name}/${file}`,
    readFileSync(path.join(work, name, file)),
  ]);
  const archive = path.join(output, `${name}.zip`);
  writeFileSync(archive, zipSync(Object.fromEntries(entries)));
  return archive;
}

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { output: { type: 'string', default: path.join(root, 'offline') } },
});
const wanted = positionals.length > 0 ? positionals : Object.keys(targets);
const unknown = wanted.find((target) => !(target in targets));
if (unknown !== undefined) {
  process.stderr.write(`offline: there is no target "${unknown}"\n  Known: ${Object.keys(targets).join(', ')}.\n`);
  process.exit(2);
}
if (!existsSync(path.join(root, 'dist/src/cli/main.js'))) {
  process.stderr.write('offline: dist is not built\n  Run npm run build first.\n');
  process.exit(2);
}
for (const target of wanted) process.stdout.write(`${make(target, path.resolve(values.output))}\n`);
