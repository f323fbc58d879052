import { Terminal } from '../terminal.js';
import { type ReplayAsk, ReplaySession } from './replay-session.js';

/** A replay on the full screen, until it is left. */
export async function runReplay(ask: Omit<ReplayAsk, 'terminal'>): Promise<void> {
  const terminal = new Terminal();
  try {
    await new ReplaySession({ ...ask, terminal }).run();
  } finally {
    terminal.close();
  }
}
