/** How a 32-bit value lies in two registers; A is its highest byte. Common order first. */
export const wordOrders = ['ABCD', 'CDAB', 'BADC', 'DCBA'] as const;
export type WordOrder = (typeof wordOrders)[number];

export const valueTypes = ['float32', 'int16', 'uint16', 'int32', 'uint32'] as const;
export type ValueType = (typeof valueTypes)[number];

/** Registers a value takes. */
export const registersOf = (type: ValueType): 1 | 2 => (type === 'int16' || type === 'uint16' ? 1 : 2);

/**
 * The number in the registers at an index, before its scale. A 16-bit value has no word order, though its bytes may be
 * swapped (`BADC`, `DCBA`). NaN when the registers are not there.
 * @example registerValue([0x437a, 0x0000], 0, 'float32', 'ABCD') // 250
 */
export function registerValue(registers: readonly number[], at: number, type: ValueType, order: WordOrder): number {
  const [high, low] = [registers[at], registers[at + 1]];
  if (high === undefined) return Number.NaN;
  const view = new DataView(new ArrayBuffer(4));
  const swapBytes = order === 'BADC' || order === 'DCBA';
  if (type === 'int16' || type === 'uint16') {
    view.setUint16(0, high, swapBytes);
    return type === 'int16' ? view.getInt16(0) : view.getUint16(0);
  }
  if (low === undefined) return Number.NaN;
  const swapWords = order === 'CDAB' || order === 'DCBA';
  view.setUint16(swapWords ? 2 : 0, high, swapBytes);
  view.setUint16(swapWords ? 0 : 2, low, swapBytes);
  if (type === 'float32') return view.getFloat32(0);
  return type === 'int32' ? view.getInt32(0) : view.getUint32(0);
}

/** One way to read the same registers, for a person to pick the one that the display shows. */
export interface RegisterView {
  /** Registers to count on from the one asked for: 1 where the manual counts from 1. */
  readonly offset: 0 | 1;
  readonly wordOrder: WordOrder;
  readonly value: number;
}

/** Four word orders at two offsets: the registers must be one more than the value takes. */
export function registerViews(registers: readonly number[], type: ValueType): readonly RegisterView[] {
  const orders = registersOf(type) === 1 ? (['ABCD', 'BADC'] as const) : wordOrders;
  return ([0, 1] as const).flatMap((offset) =>
    orders.map((wordOrder) => ({ offset, wordOrder, value: registerValue(registers, offset, type, wordOrder) })),
  );
}
