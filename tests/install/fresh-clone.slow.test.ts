import { execFileSync } from 'node:child_process';
import { cpSync } from 'node:fs';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Place, papersIn, root } from './place.js';

/** The Node.js that starts it, not the one that is brought; `DWELLMARK_NODES=20,22,24,26` tries them all. */
const majors = (process.env.DWELLMARK_NODES ?? '20').split(',');
const places: Place[] = [];
afterAll(() => {
  for (const place of places) place.remove();
}, 300_000);

describe.each(majors)('a fresh clone where Node.js %s is installed, without a compiler', (major) => {
  it('comes from the first command of the README to five papers', () => {
    const place = new Place(Place.node(major));
    places.push(place);
    expect(() => place.run('command -v cc c++ gcc g++ make python3')).toThrow();
    expect(place.run('node -p process.versions.node')).toMatch(new RegExp(`^${major}\\.`));
    place.run(`git clone --quiet "${root}" clone`);
    const clone = place.at('clone');
    const startMs = performance.now();
    place.run('npm ci && npx dwellmark demo', clone);
    process.stdout.write(`Node.js ${major}: ${((performance.now() - startMs) / 1000).toFixed(1)} s\n`);
    expect(papersIn(place.at('clone/dwellmark-demo'))).toHaveLength(5);
    expect(place.run('git status --short', clone)).toBe('');
    // The Node.js of the clone, not the one that started it.
    const running = place.run('npx -c "node -p process.versions.node"', clone);
    expect(Number.parseInt(running, 10)).toBe(24);
  }, 900_000);
});

it('npm ci --omit=dev has nothing to build, does not fail, and lays at most 60 MB of modules that work', () => {
  const place = new Place(process.execPath);
  places.push(place);
  place.run(`git clone --quiet "${root}" clone`);
  const clone = place.at('clone');
  place.run('npm ci --omit=dev', clone);
  const size = Number(
    execFileSync('du', ['-sm', path.join(clone, 'node_modules')], { encoding: 'utf8' }).split('\t')[0],
  );
  process.stdout.write(`npm ci --omit=dev: ${size} MB of modules\n`);
  expect(size).toBeLessThanOrEqual(60);
  cpSync(path.join(root, 'dist'), path.join(clone, 'dist'), { recursive: true });
  place.run('node dist/src/cli/main.js demo', clone);
  place.run('node dist/src/cli/main.js export T-2026-0002 --shop dwellmark-demo --format png -o charts.png', clone);
  expect(papersIn(place.at('clone/dwellmark-demo'))).toHaveLength(5);
});
