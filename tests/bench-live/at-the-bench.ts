import { commandLine, TmuxTerminal } from './bench-process.js';

export interface BenchTerminal {
  readonly job: string;
  readonly folder: string;
  readonly size?: { readonly columns: number; readonly rows: number };
  readonly env?: string;
  readonly exitFile?: string;
}

/** A terminal in which an attended test was begun by keys, up to the wait for port A to be connected. */
export async function atTheBench({ job, folder, size, env, exitFile }: BenchTerminal): Promise<TmuxTerminal> {
  const command = commandLine('test', job, '--shop', folder);
  const terminal = new TmuxTerminal(size ?? { columns: 80, rows: 24 }, command, env, exitFile);
  let page = await terminal.shows(/Who tests\?|Is this the job\?/);
  if (page.includes('Who tests?')) {
    terminal.type('R. Sand');
    page = await terminal.shows('R. Sand');
  }
  // One key for each page that is seen: a page that is late must not be answered before it is there.
  while (!page.includes('Connect port A')) {
    const before = page;
    terminal.keys('Enter');
    const endMs = performance.now() + 60_000;
    while (page === before || page.trim() === '') {
      if (performance.now() > endMs) throw new Error(`waited in vain for the next page\n${page}`);
      page = await terminal.look();
    }
  }
  return terminal;
}
