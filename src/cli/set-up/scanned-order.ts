import { type Answers, ordersOfShop, readOrders, rowsOf, type Shop, scanned } from '../../bench/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';

/**
 * What a scan says of a job: the row of that work order or serial in the list of orders, else the cylinder that was
 * tested under it. Of several cylinders one is asked for.
 * @throws DwellmarkError (`usage`) when it fits several and nobody can be asked, or `--orders` has no such row.
 */
export async function scannedOrder(scan: string | undefined, shop: Shop, ordersFile?: string): Promise<Answers> {
  if (scan === undefined) return {};
  const text = oneLine(scan, 'the scan');
  if (text === '') throw new DwellmarkError('usage', 'the scan is empty');
  const orders = ordersFile === undefined ? ordersOfShop(shop) : readOrders(ordersFile);
  const rows = orders === null ? [] : rowsOf(orders, text);
  if (orders !== null && ordersFile !== undefined && rows.length === 0)
    throw new DwellmarkError('input', `no row with work order or serial "${text}"`, { place: { file: orders.file } });
  if (orders !== null && rows.length > 0) {
    if (orders.unknown.length > 0) remark(`${orders.file}: not used: ${orders.unknown.join(', ')}`);
    const names = rows.map((row) => row.serial ?? 'without a serial');
    const name = rows.length === 1 ? names[0] : await choose(`Which cylinder of ${text}`, names, '--serial');
    const row = rows[names.indexOf(name ?? '')] ?? {};
    remark(`${text}: from ${orders.file}`);
    return row;
  }
  const known = scanned(shop, text);
  if (known.isSerial) return { serial: text };
  const [serial, another] = known.serials;
  if (serial !== undefined)
    return {
      work_order: text,
      serial: another === undefined ? serial : await choose(`Which cylinder of ${text}`, known.serials, '--serial'),
    };
  const meant = ['a work order', 'the serial of a cylinder'] as const;
  if (!process.stdin.isTTY) return { work_order: text };
  return (await choose(`${text} is new here: what is it`, meant, '--work-order or --serial')) === meant[0]
    ? { work_order: text }
    : { serial: text };
}
