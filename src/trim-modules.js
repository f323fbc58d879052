/** Leaves out of production modules what nothing loads at run time: half of what npm lays. */
import { readdirSync, rmdirSync, rmSync } from 'node:fs';
import path from 'node:path';

/** Of any module: what is there for developers of it. */
const neverLoaded =
  /(?:\.map|\.d\.[cm]?ts|(?<!LICENSE)\.md|\.pdb|\.tgz|\.gz|\.cc|\.cpp|\.gyp|tsconfig[^/]*\.json)$|(?:^|\/)(?:\.yarn|\.github|tests?|__tests__|examples?|docs|benchmarks?)\//;

/** Of one module: other builds of the same, other weights of the same font. */
const otherBuilds = {
  'better-sqlite3': /^(?:deps|src)\//,
  'chart.js': /^dist\/chart\.umd/,
  fontkit: /^(?:src\/|dist\/browser)/,
  hono: /^dist\/(?:cjs|types)\//,
  pdfkit: /^js\/.*(?:standalone|browser|old)/,
  'write-excel-file': /^(?:browser|bundle|commonjs|universal)\//,
  zod: /^(?:src|v3)\//,
  '@noble/ciphers': /^src\//,
  '@noble/hashes': /^src\//,
  '@swc/helpers': /^src\//,
  '@expo-google-fonts/ibm-plex-sans': /^(?!(?:400Regular|600SemiBold)\/|package\.json|LICENSE)/,
};

/** Every file below a folder, with / between names. */
export const filesBelow = (folder) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(folder, path.join(entry.parentPath, entry.name)).split(path.sep).join('/'));

/** Whether a binary is for another kind of computer, by its path: `prebuilds/darwin-x64+arm64/…`, `prebuilds/linuxmusl-x64.node`. */
function isForeign(inside, { os, cpu, musl = false }) {
  const [, system, processors] = /^prebuilds\/([a-z0-9]+)-([a-z0-9+]+)[./]/.exec(inside) ?? [];
  if (system === undefined) return inside.startsWith('prebuilds/');
  return !(system === os || (musl && system === 'linuxmusl')) || !processors.split('+').includes(cpu);
}

/**
 * Takes out of a folder of modules what a computer of that kind never loads; licences stay.
 * @param target as Node.js names them: `{ os: 'linux', cpu: 'x64' }`, with `musl` where the C library is musl.
 */
export function trim(modules, target) {
  for (const file of filesBelow(modules)) {
    const [, name = '', inside = ''] = /(?:^|.*node_modules\/)((?:@[^/]+\/)?[^/]+)\/(.+)$/.exec(file) ?? [];
    const spare = isForeign(inside, target) || neverLoaded.test(inside) || otherBuilds[name]?.test(inside);
    if (spare && !/licen[cs]e|^notice/i.test(path.basename(file))) rmSync(path.join(modules, file));
  }
  const folders = readdirSync(modules, { recursive: true, withFileTypes: true }).filter((each) => each.isDirectory());
  const deepestFirst = folders
    .map(({ parentPath, name }) => path.join(parentPath, name))
    .sort((a, b) => b.length - a.length);
  for (const folder of deepestFirst) if (readdirSync(folder).length === 0) rmdirSync(folder);
}
