import { spawn } from 'node:child_process';
import { appendFileSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';
import { hookTarget } from '../bench/index.js';

export interface Patience {
  /** How long one try may take, ms. */
  readonly timeoutMs: number;
  /** What is waited before each further try, ms. */
  readonly pausesMs: readonly number[];
}

/** Half a minute for a try; five tries within a quarter of an hour. */
export const usualPatience: Patience = { timeoutMs: 30_000, pausesMs: [5_000, 30_000, 120_000, 600_000] };

/** How a try ended: done, or why not and whether another try may help. */
type Tried = { readonly done: true } | { readonly done: false; readonly why: string; readonly again: boolean };

/**
 * Gives a text of JSON to a command's stdin, or posts it to an https address, with a time-out and further tries. Each
 * try is a line of the log.
 * @returns why it was given up, or null when it was taken.
 */
export async function handOver(
  hook: string,
  about: string,
  json: string,
  logFile: string,
  patience: Patience = usualPatience,
): Promise<string | null> {
  const target = hookTarget(hook);
  const tries = patience.pausesMs.length + 1;
  for (let n = 1; ; n++) {
    const tried = 'url' in target ? await post(target.url, json, patience) : await run(target.command, json, patience);
    const last = !tried.done && (n === tries || !tried.again);
    const outcome = tried.done ? 'taken' : `${tried.why}${last ? '; given up' : ''}`;
    appendFileSync(logFile, `${new Date().toISOString()}  ${about}  try ${n} of ${tries}: ${outcome}\n`);
    if (tried.done) return null;
    if (last) return tried.why;
    await wait(patience.pausesMs[n - 1]);
  }
}

async function post(url: string, json: string, { timeoutMs }: Patience): Promise<Tried> {
  const headers = { 'content-type': 'application/json' };
  // A redirect could lead anywhere, also to an address without encryption.
  const request = {
    method: 'POST',
    body: json,
    headers,
    redirect: 'manual',
    signal: AbortSignal.timeout(timeoutMs),
  } as const;
  try {
    const { ok, status } = await fetch(url, request);
    if (ok) return { done: true };
    return {
      done: false,
      why: `the address answered ${status}`,
      again: status >= 500 || status === 408 || status === 429,
    };
  } catch (error) {
    const { name, message, cause } = error as Error;
    const why =
      name === 'TimeoutError' ? `no answer in ${timeoutMs / 1000} s` : cause instanceof Error ? cause.message : message;
    return { done: false, why, again: true };
  }
}

function run(command: string, json: string, { timeoutMs }: Patience): Promise<Tried> {
  return new Promise((resolve) => {
    // Leader of a group of its own, so that what it started ends with it.
    const child = spawn(command, {
      shell: true,
      detached: process.platform !== 'win32',
      stdio: ['pipe', 'ignore', 'pipe'],
      windowsHide: true,
    });
    let heard = '';
    let late = false;
    const timer = setTimeout(() => {
      late = true;
      endGroup(child.pid);
      child.stderr.destroy();
      child.kill('SIGKILL');
    }, timeoutMs);
    child.stdin.on('error', () => {}); // It need not read.
    child.stdin.end(json);
    child.stderr.on('data', (piece: Buffer) => {
      heard = (heard + piece.toString()).slice(0, 200);
    });
    const over = (why: string | null): void => {
      clearTimeout(timer);
      resolve(why === null ? { done: true } : { done: false, why, again: true });
    };
    child.on('error', ({ message }) => over(message));
    child.on('close', (code) => {
      const [firstLine = ''] = heard.split('\n');
      if (late) over(`not done in ${timeoutMs / 1000} s`);
      else if (code === 0) over(null);
      else over(`the command ended with ${code}${firstLine === '' ? '' : ` (${firstLine})`}`);
    });
  });
}

function endGroup(pid: number | undefined): void {
  if (pid === undefined || process.platform === 'win32') return;
  try {
    process.kill(-pid, 'SIGKILL');
  } catch {
    // It has ended.
  }
}
