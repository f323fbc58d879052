import { findShop } from '../../bench/index.js';
import { openDesk } from '../../desk/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';

export interface DeskCommandOptions extends CommonOptions {
  readonly port: number;
  readonly listen?: string;
}

/** `dwellmark desk`: the record in a browser on this computer, until it is stopped. */
export async function run({ shop, port, listen, json }: DeskCommandOptions): Promise<void> {
  const found = findShop(shop);
  const desk = await openDesk(found, { port, ...(listen === undefined ? {} : { address: listen }) });
  if (json) sayJson({ url: desk.url });
  else {
    say(desk.url);
    remark(`The desk of ${found.name} is open at that address; it lets in whoever has it. Ctrl-C closes it.`);
    if (listen !== undefined)
      remark('Others on this network can reach it, and what goes over the line is not encrypted: passphrases too.');
  }
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve());
  });
  await desk.close();
}
