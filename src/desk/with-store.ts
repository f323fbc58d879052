import { openStore, type Store } from '../record/index.js';
import type { Desk } from './desk.js';

/** Reads the record as it is now, beside whoever writes. */
export function reading<T>({ shop }: Desk, work: (store: Store) => T): T {
  const store = openStore(shop.database, { mode: 'read' });
  try {
    return work(store);
  } finally {
    store.close();
  }
}

/** Takes the one writer's place for as long as an act takes. */
export async function writing<T>({ shop }: Desk, work: (store: Store) => T | Promise<T>): Promise<T> {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    return await work(store);
  } finally {
    store.close();
  }
}
