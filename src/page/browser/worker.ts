import { checkBundle, checkedLater, type Judging, judgementOf, type Surroundings } from '../../audit/index.js';
import { type ShippedTexts, wordsFrom } from '../../certificate/index.js';
import { type Answer, type Ask, type Asking, base64Bytes, bytesText } from '../../record/index.js';
import { thinRows, toShown } from '../chart/chart-data.js';
import { type RecordRead, readRecord, readTrace, type TraceRead } from '../read-record.js';
import { recordPage } from '../record-page.js';
import type { News, Order } from './messages.js';

/** The shipped words of every language, base64: put in by the bundling. */
declare const packedWords: string;

const shipped = (): ShippedTexts => JSON.parse(bytesText(base64Bytes(packedWords) ?? new Uint8Array())) as ShippedTexts;

/** What the worker keeps of the record: its text, read once for the chart. */
interface Opened {
  readonly bundle: string;
  readonly record: RecordRead;
  readonly trace: TraceRead;
  readonly toY: (pa: number) => number;
}

/** The worker: reads the whole record, serves the chart, checks everything. It never reaches for anything outside. */
export function work(tell: (news: News) => void, listen: (take: (order: Order) => void) => void): void {
  let opened: Promise<Opened> | null = null;
  listen((order) => {
    const done = (async () => {
      if (order.order === 'open') {
        opened = open(order.record, order.unitName);
        const { trace } = await opened;
        tell({ news: 'opened', readings: trace.columns.timeUs.length });
        return;
      }
      if (opened === null) throw new Error('no record was opened');
      const record = await opened;
      if (order.order === 'view') tell(view(record, order));
      else tell(await check(record, order, tell));
    })();
    done.catch((error) => tell({ news: 'failed', of: order.order, why: String(error?.message ?? error) }));
  });
}

async function open(base64: string, unitName: string): Promise<Opened> {
  const bundle = await unpacked(base64);
  const record = readRecord(bundle);
  return { bundle, record, trace: readTrace(record.links, record.seal.readings), toY: toShown(unitName) };
}

/** gzip in base64, as text. */
async function unpacked(base64: string): Promise<string> {
  const packed = Uint8Array.from(atob(base64.trim()), (sign) => sign.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new TextDecoder('utf-8', { ignoreBOM: true, fatal: true }).decode(await new Response(stream).arrayBuffer());
}

function view({ trace, toY }: Opened, { fromS, toS, columns }: Extract<Order, { order: 'view' }>): News {
  const firstUs = trace.columns.timeUs[0] ?? 0;
  const rows = thinRows(trace.columns, firstUs + fromS * 1e6, firstUs + toS * 1e6, columns, toY);
  return { news: 'view', fromS, toS, rows };
}

async function check(
  { bundle, record }: Opened,
  { setting, program }: Extract<Order, { order: 'check' }>,
  tell: (news: News) => void,
): Promise<News> {
  const all = record.seal.readings;
  let done = 0;
  let told = 0;
  const around: Surroundings = {
    answer,
    judging: (header): Judging => judgementOf(header),
    readings: (count) => {
      done += count;
      if (done - told < all / 100) return;
      told = done;
      tell({ news: 'progress', done, all });
    },
  };
  const report = await checkedLater(checkBundle(bundle, true), around);
  const page = await answered(recordPage(bundle, setting, program, shipped())).catch(() => null);
  const words = wordsFrom(shipped(), setting.language);
  const verdict = words.say(`verdict.${record.seal.result.verdict}`);
  return { news: 'checked', report, verdict, page, head: record.head };
}

/** Digests and signatures by WebCrypto. */
async function answer(asked: Ask): Promise<Answer> {
  if (asked.ask === 'sha256') return new Uint8Array(await crypto.subtle.digest('SHA-256', asked.bytes as BufferSource));
  const key = await crypto.subtle
    .importKey('raw', asked.publicKey as BufferSource, 'Ed25519', false, ['verify'])
    .catch((error) => {
      if (error?.name === 'NotSupportedError') throw new Error('this browser does not know Ed25519 signatures');
      return null;
    });
  return (
    key !== null && crypto.subtle.verify('Ed25519', key, asked.signature as BufferSource, asked.bytes as BufferSource)
  );
}

async function answered<Result>(asking: Asking<Result>): Promise<Result> {
  let at = asking.next();
  while (!at.done) at = asking.next(await answer(at.value));
  return at.value;
}
