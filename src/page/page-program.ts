import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';

const known = new Map<string, Promise<string>>();

/** The record page's script. */
export const pageProgram = (): Promise<string> => browserProgram(path.join(import.meta.dirname, 'browser', 'main'));

/** A script for a browser, by its path without an ending: as it was built, or bundled now where this runs from sources. */
export function browserProgram(place: string): Promise<string> {
  const program = known.get(place) ?? read(place);
  known.set(place, program);
  return program;
}

async function read(place: string): Promise<string> {
  const built = `${place}.js`;
  if (existsSync(built)) return readFileSync(built, 'utf8');
  const { bundled } = (await import(`./browser/bundle.js`)) as typeof import('./browser/bundle.js');
  return bundled(`${place}.ts`);
}
