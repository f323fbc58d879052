import { readFileSync } from 'node:fs';

/** The driver of a shop's own and its check, as DEVELOPERS.md shows them. */
export interface OwnDriver {
  readonly driver: string;
  readonly check: string;
}

/** Takes the two code blocks out of the page. @throws Error when they are not there. */
export function ownDriver(): OwnDriver {
  const page = readFileSync(new URL('../../../DEVELOPERS.md', import.meta.url), 'utf8');
  const blocks = [...page.matchAll(/^```js\n(.*?)^```$/gms)].map((block) => block[1] ?? '');
  const driver = blocks.find((block) => block.includes('export const driver'));
  const check = blocks.find((block) => block.includes('export const check'));
  if (driver === undefined || check === undefined) throw new Error('DEVELOPERS.md shows no driver with its check');
  return { driver, check };
}
