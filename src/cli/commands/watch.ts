import { existsSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { findShop, HoldRun, judgementOf, recordFollower } from '../../bench/index.js';
import { systemOf } from '../../quality/index.js';
import { openStore, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say } from '../output.js';
import { resultLines } from '../report/result-text.js';
import { benchScreen } from '../screen/bench-screen.js';
import { BenchMemory } from '../screen/bench-view.js';
import { eventLines } from '../screen/plain-report.js';
import { Terminal } from '../screen/terminal.js';

/** The record is committed once a second; looking twice as often is enough. */
const lookEveryMs = 500;

/** How often it is looked whether a test has begun. */
const waitMs = 1000;

/**
 * `dwellmark watch`: follows a running test from the record, and can touch nothing. On a terminal it waits for one to
 * begin when none is running.
 */
export async function run(test: string | undefined, options: CommonOptions): Promise<void> {
  const { database } = findShop(options.shop);
  const looksOn = process.stdout.isTTY === true && process.stdin.isTTY === true && !options.json;
  const followed = test ?? (await runningTest(database, looksOn));
  const store = openStore(database, { mode: 'read' });
  try {
    if (looksOn) await onScreen(store, followed);
    else await inLines(store, followed);
    const { result, header } = store.test(followed);
    if (result) for (const line of resultLines(result, systemOf(header))) say(line);
    else remark(`${followed} is not sealed yet.`);
  } finally {
    store.close();
  }
}

async function runningTest(database: string, waits: boolean): Promise<string> {
  for (let told = false; ; told = true) {
    const last = existsSync(database) ? unfinished(database) : undefined;
    if (last !== undefined) return last;
    if (!waits)
      throw new DwellmarkError('input', 'no test is running', {
        advice: '`dwellmark list` shows those that are done; `dwellmark show TEST` reads one.',
      });
    if (!told) remark('No test is running; waiting for one to begin. Ctrl-C leaves.');
    await sleep(waitMs);
  }
}

function unfinished(database: string): string | undefined {
  const store = openStore(database, { mode: 'read' });
  try {
    return store.unfinished().at(-1)?.test;
  } finally {
    store.close();
  }
}

const isSealed = (store: Store, test: string): boolean => store.test(test).seal !== null;

async function inLines(store: Store, test: string): Promise<void> {
  const { header } = store.test(test);
  const system = systemOf(header);
  const hold = new HoldRun(judgementOf(header), null, (news) => {
    for (const line of eventLines(news, system)) remark(line);
  });
  const look = recordFollower(store, test, hold);
  for (;;) {
    const sealed = isSealed(store, test);
    look();
    if (sealed) return;
    await sleep(lookEveryMs);
  }
}

async function onScreen(store: Store, test: string): Promise<void> {
  const { header } = store.test(test);
  const memory = new BenchMemory();
  const hold = new HoldRun(judgementOf(header), null, (news) => memory.take(news));
  const look = recordFollower(store, test, hold);
  const terminal = new Terminal();
  let leave = false;
  const draw = (): void =>
    terminal.draw(
      benchScreen(
        {
          ...memory.shown,
          header,
          plan: header.plan,
          system: systemOf(header),
          state: hold.state,
          early: hold.early(),
          stages: hold.stages,
          strokes: hold.strokes,
          result: hold.state.phase.name === 'done' ? hold.result() : null,
          mode: 'watch',
          flash: false,
          bell: false,
        },
        terminal.size,
        terminal.terms,
      ),
    );
  terminal.listen({
    key: (key) => {
      leave ||= key.name === 'q' || key.name === 'escape' || (key.ctrl && key.name === 'c');
    },
    resized: draw,
    hungUp: () => {
      leave = true;
    },
  });
  try {
    while (!leave) {
      const sealed = isSealed(store, test);
      look();
      draw();
      if (sealed) return;
      await sleep(lookEveryMs);
    }
  } finally {
    terminal.close();
  }
}
