import { existsSync } from 'node:fs';
import path from 'node:path';
import { type Context, Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { streamSSE } from 'hono/streaming';
import { checkedTest, judgeStored } from '../audit/index.js';
import { browserProgram, type Html } from '../page/index.js';
import { papersFolder, testPage } from '../quality/index.js';
import { fileLimits, openStore, readGivenFile, sha256Hex } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { correctByForm, issuePaper, reissueByForm, signByForm, voidByForm } from './acts.js';
import type { Desk } from './desk.js';
import { deskStyle } from './desk-style.js';
import { frame, type Told } from './frame.js';
import { guard } from './guard.js';
import { LiveFeed } from './live-feed.js';
import { comparePage } from './pages/compare.js';
import { gaugesPage } from './pages/gauges.js';
import { helpPage } from './pages/help.js';
import { livePage } from './pages/live.js';
import { newJobByForm, newJobPage } from './pages/new-job.js';
import { decideByForm, recallPage } from './pages/recall.js';
import { searchPage } from './pages/search.js';
import { testRoom } from './pages/test-room.js';
import { waitingPage } from './pages/waiting.js';
import { reading } from './with-store.js';

const lookEveryMs = 250;

/** The desk's pages and acts. Every request meets the guard first. */
export function deskApp(desk: Desk): Hono {
  const app = new Hono();
  app.use(guard(desk));
  app.use(bodyLimit({ maxSize: 16_384, onError: (context) => context.text('That is too much for a form.\n', 413) }));
  const page = (context: Context, made: Html, status: 200 | 404 | 409 = 200) => context.html(made.text, status);

  app.get('/', (context) =>
    page(
      context,
      reading(desk, (store) => waitingPage(desk, store)),
    ),
  );
  app.get('/tests', (context) =>
    page(
      context,
      reading(desk, (store) => searchPage(desk, store, context.req.query())),
    ),
  );
  app.get('/gauges', (context) =>
    page(
      context,
      reading(desk, (store) => gaugesPage(desk, store)),
    ),
  );
  app.get('/recall', (context) =>
    page(
      context,
      reading(desk, (store) => recallPage(desk, store, context.req.query(), null)),
    ),
  );
  app.get('/live', (context) =>
    page(
      context,
      reading(desk, (store) => livePage(desk, store, context.req.query('test'))),
    ),
  );
  app.get('/compare', (context) => {
    const { a = '', b = '' } = context.req.query();
    return page(
      context,
      reading(desk, (store) => comparePage(desk, store, a, b)),
    );
  });

  app.get('/jobs/new', (context) => page(context, newJobPage(desk, context.req.query())));
  app.post('/jobs/new', async (context) => {
    const { page: shown, made } = newJobByForm(desk, await fields(context));
    return page(context, shown, made ? 200 : 409);
  });

  app.get('/help/:topic?', (context) => {
    const made = helpPage(desk, context.req.param('topic'));
    return made === null ? context.notFound() : page(context, made);
  });

  const room = (context: Context, test: string, told: Told | null) =>
    page(
      context,
      reading(desk, (store) => testRoom(desk, store, test, told)),
      told === null || told.good ? 200 : 409,
    );
  app.get('/tests/:test', (context) => room(context, context.req.param('test'), null));
  app.get('/tests/:test/record', async (context) => {
    const text = await recordOf(desk, context.req.param('test'));
    // The page brings its own policy, by the hashes of its script and style.
    context.header('content-security-policy', "frame-ancestors 'self'");
    return context.html(text);
  });
  app.post('/tests/:test/sign', async (context) => {
    const test = context.req.param('test');
    return room(context, test, await signByForm(desk, test, await fields(context)));
  });
  app.post('/tests/:test/certificate', async (context) => {
    const test = context.req.param('test');
    return room(context, test, await issuePaper(desk, test));
  });
  app.post('/tests/:test/void', async (context) => {
    const test = context.req.param('test');
    return room(context, test, await voidByForm(desk, test, await fields(context)));
  });
  app.post('/tests/:test/correct', async (context) => {
    const test = context.req.param('test');
    return room(context, test, await correctByForm(desk, test, await fields(context)));
  });
  app.post('/tests/:test/reissue', async (context) =>
    room(context, context.req.param('test'), await reissueByForm(desk, await fields(context))),
  );
  app.post('/recall', async (context) => {
    const given = await fields(context);
    const told = await decideByForm(desk, given);
    return page(
      context,
      reading(desk, (store) => recallPage(desk, store, given, told)),
      told.good ? 200 : 409,
    );
  });

  app.get('/papers/:file', (context) => {
    const file = context.req.param('file');
    if (!/^[A-Za-z0-9-]+\.pdf$/.test(file)) return context.notFound();
    const place = path.join(papersFolder(desk.shop), file);
    if (!existsSync(place)) return context.notFound();
    const bytes = readGivenFile(place, { what: 'paper', most: fileLimits.attachment });
    const issued = reading(desk, (store) => store.certificates().map(({ pdfSha256 }) => pdfSha256));
    if (!issued.includes(sha256Hex(bytes)))
      throw new DwellmarkError('altered', `${file} is not a paper as it was issued`, {
        advice: 'Set it again with `dwellmark certificate --copy`.',
      });
    return context.body(new Uint8Array(bytes), 200, { 'content-type': 'application/pdf' });
  });
  app.get('/desk.css', (context) => context.body(deskStyle, 200, { 'content-type': 'text/css; charset=utf-8' }));
  app.get('/live.js', async (context) =>
    context.body(await browserProgram(path.join(import.meta.dirname, 'browser', 'live')), 200, {
      'content-type': 'text/javascript; charset=utf-8',
    }),
  );
  app.get('/live/feed', (context) =>
    streamSSE(context, async (stream) => {
      const store = openStore(desk.shop.database, { mode: 'read' });
      try {
        const feed = new LiveFeed(store, context.req.query('test') ?? '', desk.shop.units);
        for (let over = false; !over && !stream.aborted; ) {
          const news = feed.look();
          await stream.writeSSE({ data: JSON.stringify(news) });
          over = news.sealed;
          if (!over) await stream.sleep(lookEveryMs);
        }
      } finally {
        store.close();
      }
    }),
  );

  app.notFound((context) => page(context, frame(desk, '', 'There is nothing here', {}), 404));
  app.onError((error, context) => {
    const known = error instanceof DwellmarkError;
    const text = known
      ? [error.message, error.advice].filter(Boolean).join('. ')
      : 'Something went wrong that should not. Nothing recorded is lost.';
    if (!known) console.error(error);
    return page(context, frame(desk, '', 'That can not be shown', { told: { good: false, text } }), 404);
  });
  return app;
}

/** The whole record of a test as the page that anybody can be given. */
async function recordOf({ shop }: Desk, test: string): Promise<string> {
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const pieces: Uint8Array[] = [];
    checkedTest(store, test, judgeStored);
    for await (const piece of testPage(store, test, shop)) pieces.push(piece);
    return Buffer.concat(pieces).toString('utf8');
  } finally {
    store.close();
  }
}

/** A form's fields as text; a field that came twice counts once. */
async function fields(context: Context): Promise<Readonly<Record<string, string>>> {
  const body = await context.req.parseBody();
  return Object.fromEntries(Object.entries(body).map(([key, value]) => [key, typeof value === 'string' ? value : '']));
}
