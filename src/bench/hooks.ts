import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import type { Shop } from './shop.js';

/** What is handed over: a test whose record was sealed, or a paper that was issued. */
export type HookEvent = 'sealed' | 'issued';

const isAddress = (text: string): boolean => /^[a-z]+:\/\//i.test(text);

/** A command line, or an https address. */
const hook = z
  .string()
  .trim()
  .min(1, 'write a command or an https address')
  .refine((text) => !isAddress(text) || (URL.canParse(text) && new URL(text).protocol === 'https:'), {
    message: 'an address must begin with https://',
  });

/** `[hooks]` of the shop file. */
export const hooksSchema = z.strictObject({ sealed: hook.optional(), issued: hook.optional() });

export type Hooks = z.output<typeof hooksSchema>;

/** Where a hook leads: an address to post to, or a line for the system's shell. */
export const hookTarget = (text: string): { readonly url: string } | { readonly command: string } =>
  isAddress(text) ? { url: text } : { command: text };

/**
 * Hands a number over to the shop's hook, where it has one. A process of its own does it (`dwellmark hook NUMBER`) and
 * outlives this one: whatever the hook does, a test and a paper never wait for it, and it can't fail them.
 */
export function announce(shop: Shop, event: HookEvent, number: string): void {
  if (shop.hooks[event] === undefined) return;
  const own = import.meta.url.endsWith('.ts') ? '../cli/main.ts' : '../cli/main.js';
  const main = fileURLToPath(new URL(own, import.meta.url));
  const args = [...process.execArgv, main, 'hook', number, '--shop', shop.folder];
  try {
    const child = spawn(process.execPath, args, { detached: true, stdio: 'ignore', windowsHide: true });
    child.on('error', () => {}); // It can be handed over again by hand.
    child.unref();
  } catch {
    // No process can be started just now: the same.
  }
}
