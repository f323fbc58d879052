import { say, sayJson } from '../output.js';
import { sourceLines, sources } from '../report/sources.js';

/** `dwellmark sources`: the published texts behind limits and figures. */
export function run(options: { readonly json?: boolean }): void {
  if (options.json) sayJson(sources);
  else for (const line of sourceLines()) say(line);
}
