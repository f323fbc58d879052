import { readParquet, wasmMemory } from 'parquet-wasm/node';

/** A column as the Rust implementation of Arrow holds it: its name, its format letter, its values. */
export interface ArrowColumn {
  readonly name: string;
  /** `g` is a double, `i` a 32-bit integer (Arrow's C data interface). */
  readonly format: string;
  readonly values: readonly (number | null)[];
}

/**
 * Reads a Parquet file with the Rust crates parquet and arrow (as WebAssembly), and takes the values out of their memory
 * by Arrow's C data interface: structs of 32-bit pointers here.
 */
export function readByArrow(file: Uint8Array): { columns: ArrowColumn[]; metadata: Map<string, string> } {
  const table = readParquet(file, { batchSize: 1_000_000 });
  const metadata = table.schema.metadata() as Map<string, string>;
  const names = new Map<string, { format: string; values: (number | null)[] }>();
  for (const batch of table.recordBatches()) {
    const ffi = batch.toFFI();
    addBatch(ffi.arrayAddr(), ffi.schemaAddr(), names);
  }
  return { metadata, columns: [...names].map(([name, column]) => ({ name, ...column })) };
}

function addBatch(
  array: number,
  schema: number,
  names: Map<string, { format: string; values: (number | null)[] }>,
): void {
  const memory = (wasmMemory() as unknown as { buffer: ArrayBuffer }).buffer;
  const view = new DataView(memory);
  const pointer = (address: number): number => view.getUint32(address, true);
  // ArrowSchema: format, name, metadata, flags (64 bits), n_children (64 bits), children.
  const fields = pointer(schema + 32);
  for (let field = 0; field < pointer(schema + 24); field += 1) {
    const about = pointer(fields + 4 * field);
    const [format, name] = [textAt(view, pointer(about)), textAt(view, pointer(about + 4))];
    const column = names.get(name) ?? { format, values: [] };
    names.set(name, column);
    // ArrowArray: length, null_count, offset, n_buffers, n_children (64 bits each), buffers, children.
    for (const value of valuesAt(view, pointer(pointer(array + 44) + 4 * field), format)) column.values.push(value);
  }
}

function* valuesAt(view: DataView, array: number, format: string): Iterable<number | null> {
  const [length, offset] = [view.getUint32(array, true), view.getUint32(array + 16, true)];
  const buffers = view.getUint32(array + 40, true);
  const [valid, data] = [view.getUint32(buffers, true), view.getUint32(buffers + 4, true)];
  for (let at = offset; at < offset + length; at += 1) {
    const there = valid === 0 || ((view.getUint8(valid + (at >> 3)) >> (at & 7)) & 1) === 1;
    if (!there) yield null;
    else yield format === 'g' ? view.getFloat64(data + 8 * at, true) : view.getInt32(data + 4 * at, true);
  }
}

function textAt(view: DataView, address: number): string {
  let end = address;
  while (view.getUint8(end) !== 0) end += 1;
  return Buffer.from(view.buffer, address, end - address).toString('utf8');
}
