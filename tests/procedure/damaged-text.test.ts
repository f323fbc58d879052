import { describe, expect, it } from 'vitest';
import { readJob, readProcedure } from '../../src/procedure/index.js';
import { DwellmarkError } from '../../src/units/index.js';
import { changed, jobText, portB, templateNames, templateText } from './sample-job.js';
import { type Chance, chance } from './seeded.js';

const pieces = [
  '"',
  '=',
  '[',
  ']',
  '{',
  '}',
  '\n',
  '#',
  '0',
  '-1',
  '1e999',
  'true',
  '"""',
  '.',
  ' bar',
  'x',
  '\u00a0',
  '\u0000',
  '[[port]]\n',
  '1979-05-27',
];

/** The text with a few letters or lines taken out, put in or swapped. */
function damaged(text: string, { uniform }: Chance): string {
  const pick = (below: number): number => Math.floor(uniform() * below);
  let now = text;
  for (let hits = 1 + pick(3); hits > 0; hits -= 1) {
    const at = pick(now.length);
    const lines = now.split('\n');
    const line = pick(lines.length);
    const kind = pick(5);
    if (kind === 0) now = now.slice(0, at) + now.slice(at + 1 + pick(8));
    else if (kind === 1) now = now.slice(0, at) + (pieces[pick(pieces.length)] ?? '') + now.slice(at);
    else if (kind === 2) now = lines.filter((_, index) => index !== line).join('\n');
    else if (kind === 3)
      now = [...lines.slice(0, line), lines[pick(lines.length)] ?? '', ...lines.slice(line)].join('\n');
    else now = now.replace(/"[^"]*"/, pieces[pick(pieces.length)] ?? '');
  }
  return now;
}

function refusal(read: () => unknown): DwellmarkError | null {
  try {
    read();
    return null;
  } catch (error) {
    if (error instanceof DwellmarkError) return error;
    throw error;
  }
}

describe('whatever is done to a text, it is read or refused with a place', () => {
  const job = changed(jobText, [portB]);
  const cases: [string, string, (text: string) => unknown][] = [
    ['job', job, (text) => readJob(text, { file: 'f.toml' })],
    ...templateNames.map((name): [string, string, (text: string) => unknown] => [
      name,
      templateText(name),
      (text) => readProcedure(text, { file: 'f.toml' }),
    ]),
  ];

  it.each(cases)('%s', (_, text, read) => {
    const luck = chance(20);
    let refused = 0;
    for (let round = 0; round < 60; round += 1) {
      const spoilt = damaged(text, luck);
      const error = refusal(() => read(spoilt));
      if (!error) continue;
      refused += 1;
      expect(error.code).toBe('input');
      expect(error.place.file).toBe('f.toml');
      expect(error.place.line ?? error.place.key).toBeDefined();
      if (error.place.line !== undefined) expect(error.place.line).toBeLessThanOrEqual(spoilt.split('\n').length + 1);
      expect(error.message).not.toMatch(/undefined|\[object/);
    }
    expect(refused).toBeGreaterThan(20);
  });
});
