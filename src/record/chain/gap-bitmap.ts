import type { ByteWriter } from './bytes.js';

/** Writes a bit a value, set where one is missing (NaN). */
export function writeBitmap(values: Float64Array, out: ByteWriter): void {
  const bitmap = new Uint8Array(Math.ceil(values.length / 8));
  values.forEach((value, index) => {
    if (Number.isNaN(value)) bitmap[index >> 3] = (bitmap[index >> 3] ?? 0) | (1 << (index & 7));
  });
  out.bytes(bitmap);
}

/** Puts NaN where a value is missing; how many are there. */
export function markGaps(values: Float64Array, bitmap: Uint8Array): number {
  let given = 0;
  for (let index = 0; index < values.length; index += 1)
    if (((bitmap[index >> 3] ?? 0) >> (index & 7)) & 1) values[index] = Number.NaN;
    else given += 1;
  return given;
}
