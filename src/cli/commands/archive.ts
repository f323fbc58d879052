import { archiveStatus, benchNamed, copyBack, prepareArchive, push as pushStore } from '../../archive/index.js';
import { findShop, findShopIfAny, type Shop } from '../../bench/index.js';
import { type LedgerMark, openStore } from '../../record/index.js';
import { remark, say, sayJson } from '../output.js';
import { type ArchiveOptions, archiveUrl, withArchive } from '../shop/archive-of-shop.js';

/** `dwellmark archive prepare`: tables, guards and roles in an empty database. */
export async function prepare(options: ArchiveOptions): Promise<void> {
  const made = await prepareArchive(archiveUrl(options), new Date().getFullYear());
  if (options.json) return sayJson({ made });
  say(
    made
      ? 'The archive is ready. Give each bench a login in the role dwellmark_bench, and push.'
      : 'There is an archive already; nothing was changed.',
  );
}

/** `dwellmark archive push`: what is new in the shop's record goes to the archive. */
export async function push(options: ArchiveOptions): Promise<void> {
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const pushed = await withArchive(options, (archive) =>
      pushStore(archive, store, { bench: shop.bench, progress: (done, of) => remark(`ledger line ${done} of ${of}`) }),
    );
    if (options.json) return sayJson(pushed);
    const { bench, from, to, testsSealed, resumed } = pushed;
    if (to.position === from) return say(`The archive holds all of "${bench}": ledger line ${to.position}.`);
    say(`"${bench}": ledger lines ${from + 1} to ${to.position} and ${testsSealed} sealed tests are in the archive.`);
    if (resumed > 0) say(`The line was lost ${resumed} times and taken up again.`);
  } finally {
    store.close();
  }
}

/** `dwellmark archive pull`: a bench's record as a store of its own. */
export async function pull(bench: string, options: ArchiveOptions & { readonly output: string }): Promise<void> {
  const { output } = options;
  await withArchive(options, async (archive) =>
    copyBack(archive, await benchNamed(archive, bench), output, {
      ledger: 'whole',
      progress: (tests) => tests % 100 === 0 && remark(`${tests} tests`),
    }),
  );
  const store = openStore(output, { mode: 'read' });
  try {
    const tests = store.raw.testNames().length;
    const head = store.ledgerHead();
    if (options.json) return sayJson({ bench, file: output, tests, ledger: head });
    say(`${output}: ${tests} tests, ledger line ${head.position}.`);
    say('It is a copy to read: put it in place of a lost record.db, then `dwellmark verify --all`.');
  } finally {
    store.close();
  }
}

/** `dwellmark archive status`: how far the archive holds each bench, and what of this one waits. */
export async function status(options: ArchiveOptions): Promise<void> {
  const here = ownLedger(options.shop);
  const held = await withArchive(options, archiveStatus);
  const known = here && held.find(({ root }) => root === here.root);
  const waiting = here ? here.mark.position - (known?.position ?? 0) : null;
  if (options.json) return sayJson({ benches: held, waiting });
  if (held.length === 0) say('The archive holds no bench that this login may see.');
  const width = Math.max(...held.map(({ bench }) => bench.length), 5);
  for (const { bench, position, testsSealed, testsStarted, newestAt } of held) {
    const open = testsStarted - testsSealed;
    const unsealed = open > 0 ? `, ${open} never sealed` : '';
    say(
      `${bench.padEnd(width)}  ${String(testsSealed).padStart(6)} tests${unsealed}  ledger line ${position}, ${newestAt?.slice(0, 16).replace('T', ' ') ?? 'empty'} UTC`,
    );
  }
  if (here && waiting !== null)
    say(
      waiting > 0
        ? `${waiting} ledger lines of "${here.shop.bench}" wait here: dwellmark archive push`
        : 'Nothing waits here.',
    );
}

/** This shop's own record, where there is one. */
function ownLedger(given: string | undefined): { shop: Shop; root: string; mark: LedgerMark } | null {
  const shop = findShopIfAny(given);
  if (!shop) return null;
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const [first] = store.raw.ledger();
    return first ? { shop, root: first.head.toString('hex'), mark: store.ledgerHead() } : null;
  } finally {
    store.close();
  }
}
