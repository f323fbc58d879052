import { type ChildProcess, spawn } from 'node:child_process';
import { tmpdir } from 'node:os';
import path from 'node:path';

export type ActKind = 'import' | 'sign' | 'certificate' | 'backup' | 'push';

/** A program that does one act after another, see acting-child.ts. */
export interface Acting {
  readonly process: ChildProcess;
  /** Resolved with the first acknowledged act: from then on a kill is one at work. */
  readonly acknowledged: Promise<void>;
  readonly ended: Promise<void>;
  /** What each acknowledged act said of itself. @throws Error for an act that failed. */
  acts(): readonly Readonly<Record<string, unknown>>[];
}

export function acting(kind: ActKind, shop: string, folder = '', pauseMs = 0): Acting {
  const child = path.join(import.meta.dirname, 'acting-child.ts');
  const cache = path.join(tmpdir(), 'dwellmark-kills-compiled');
  const process_ = spawn(process.execPath, [child, kind, shop, folder, String(pauseMs)], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, NODE_COMPILE_CACHE: cache, NODE_NO_WARNINGS: '1' },
  });
  let [said, complained] = ['', ''];
  let speak = (): void => {};
  const acknowledged = new Promise<void>((done) => {
    speak = done;
  });
  process_.stdout.on('data', (data: Buffer) => {
    said += data.toString();
    if (said.includes('done ')) speak();
  });
  process_.stderr.on('data', (data: Buffer) => {
    complained += data.toString();
  });
  const ended = new Promise<void>((done) =>
    process_.once('close', () => {
      speak();
      done();
    }),
  );
  return { process: process_, acknowledged, ended, acts: () => actsIn(said, complained) };
}

/** Whole acts alone: what was being said when the program was killed is none. */
function actsIn(said: string, complained: string): Readonly<Record<string, unknown>>[] {
  const parts = said.split(/^done (\d+)\n/m);
  const acts: Readonly<Record<string, unknown>>[] = [];
  for (let at = 0; at + 1 < parts.length; at += 2) {
    if (parts[at + 1] !== '0') throw new Error(`an act ended with ${parts[at + 1]}: ${complained}`);
    acts.push(JSON.parse(parts[at] ?? ''));
  }
  if (acts.length === 0) throw new Error(`nothing was done: ${complained}`);
  return acts;
}
