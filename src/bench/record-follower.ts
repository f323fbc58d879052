import type { Store } from '../record/index.js';
import type { HoldRun } from './hold-run.js';

/** Follows a test that another process writes: each call feeds the run what the record got since the last one. */
export function recordFollower(store: Store, test: string, run: HoldRun): () => void {
  let seen = 0;
  return () => {
    let index = 0;
    for (const input of store.inputs(test)) if (index++ >= seen) run.feed(input);
    seen = Math.max(seen, index);
  };
}
