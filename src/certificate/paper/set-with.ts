import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { templateFile } from '../words/template-file.js';

/** Raised when the same record and setting come out as other pages than before. */
const paperVersion = 2;

/** Packages that decide how a page comes out. */
const typesetters = [
  'pdfkit',
  'chart.js',
  'chartjs-node-canvas',
  'svg-to-pdfkit',
  'qrcode',
  '@expo-google-fonts/ibm-plex-sans',
];

let known: string | undefined;

/** What sets papers here: two installations of which this is the same set the same pages. */
export function setWith(): string {
  known ??= [`dwellmark ${versionIn(packageRoot())} (pages ${paperVersion})`, ...typesetters.map(packageVersion)].join(
    ', ',
  );
  return known;
}

/** A procedure of this id is shipped: another file under the id is an edited copy of it. */
export const isShippedProcedure = (id: string): boolean =>
  /^[\w-]+$/.test(id) && existsSync(path.join(packageRoot(), 'templates', `${id}.toml`));

const packageRoot = (): string => path.resolve(path.dirname(templateFile('layout.toml')), '..', '..');

function packageVersion(name: string): string {
  const [found] = (createRequire(import.meta.url).resolve.paths(name) ?? [])
    .map((folder) => path.join(folder, name))
    .filter((folder) => existsSync(path.join(folder, 'package.json')));
  return `${name} ${found === undefined ? 'unknown' : versionIn(found)}`;
}

function versionIn(folder: string): string {
  const read = JSON.parse(readFileSync(path.join(folder, 'package.json'), 'utf8')) as { version?: unknown };
  return String(read.version);
}
