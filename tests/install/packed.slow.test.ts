import { cpSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ownDriver } from '../drivers/conformance/own-driver.js';
import { Place, papersIn, pngSize, root } from './place.js';

let place: Place;
let tarball = '';

beforeAll(() => {
  place = new Place(process.execPath);
  // As it was built for this run: `npm pack` by hand builds first.
  place.run(`npm pack --ignore-scripts --pack-destination "${place.folder}"`, root);
  tarball = place.at(readdirSync(place.folder).find((name) => name.endsWith('.tgz')) ?? '');
}, 120_000);
afterAll(() => place.remove(), 300_000);

/** A demo with its papers, and a picture of a test's charts. */
function worksIn(folder: string, program: string): void {
  place.run(`${program} demo -o demo`, folder);
  expect(papersIn(path.join(folder, 'demo'))).toHaveLength(5);
  place.run(`${program} export T-2026-0002 --shop demo --format png -o charts.png`, folder);
  expect(pngSize(path.join(folder, 'charts.png'))[0]).toBe(1440);
}

function project(name: string): string {
  const folder = place.at(name);
  mkdirSync(folder);
  writeFileSync(path.join(folder, 'package.json'), JSON.stringify({ name, private: true, type: 'module' }));
  return folder;
}

describe('the packed tarball', () => {
  it('holds what is needed to run, with changes and help, and nothing of the tests', () => {
    const listed = place.run(`npm pack --dry-run --json --ignore-scripts`, root);
    const files = (JSON.parse(listed)[0].files as { path: string }[]).map(({ path: name }) => name);
    expect(files).toEqual(expect.arrayContaining(['CHANGELOG.md', 'LICENSE', 'README.md', 'dist/src/cli/main.js']));
    const reasons =
      /^(?:CHANGELOG\.md|LICENSE|README\.md|package\.json|dist\/(?:src|drivers)\/|dist\/dwellmark\.1$|templates\/|sample-logs\/|node_modules\/(?:chart\.js|@kurkle\/color|chartjs-node-canvas|canvas|tslib|serialport|@serialport|debug|ms|node-gyp-build|node-addon-api)\/)/;
    expect(files.filter((name) => !reasons.test(name))).toEqual([]);
    expect(files.filter((name) => /tsbuildinfo|\.test\.|browser\/bundle\.|^templates\/pictures/.test(name))).toEqual(
      [],
    );
  });

  it('is installed globally, and draws its papers', () => {
    place.run(`npm install --global --prefix "${place.at('global')}" "${tarball}"`);
    const elsewhere = place.at('elsewhere');
    mkdirSync(elsewhere);
    worksIn(elsewhere, place.at('global/bin/dwellmark'));
  });

  it('is a dependency by npm, and a driver written as in DEVELOPERS.md runs from there', () => {
    const folder = project('by-npm');
    place.run(`npm install "${tarball}"`, folder);
    worksIn(folder, 'npx dwellmark');
    writeFileSync(path.join(folder, 'our-gauge.mjs'), ownDriver().driver);
    const load = "import { driver } from './our-gauge.mjs'; await driver.create({ path: '/dev/no-such-port' }).open()";
    expect(() => place.run(`node --input-type=module -e "${load}"`, folder)).toThrow(/no-such-port/);
  });

  it('is a dependency by pnpm', () => {
    const folder = project('by-pnpm');
    cpSync(tarball, path.join(folder, 'dwellmark.tgz'));
    place.run('npm exec --yes -- pnpm@12 add ./dwellmark.tgz', folder);
    expect(existsSync(path.join(folder, 'node_modules/.pnpm'))).toBe(true);
    worksIn(folder, './node_modules/.bin/dwellmark');
  });
});
