/** More room than for these is not made beforehand, whatever somebody expects. */
const mostExpected = 1 << 26;

/** Numbers in a row that grows, to be read as a column. */
export class GrowingColumn {
  #values: Float64Array<ArrayBuffer>;
  #length = 0;

  /** @param expected only a guess at how long it gets, by whoever: it may be wrong */
  constructor(expected = 16) {
    this.#values = new Float64Array(Number.isInteger(expected) ? Math.min(Math.max(expected, 16), mostExpected) : 16);
  }

  add(value: number): void {
    if (this.#length === this.#values.length) {
      const twice = new Float64Array(2 * this.#length);
      twice.set(this.#values);
      this.#values = twice;
    }
    this.#values[this.#length++] = value;
  }

  /** What was added, where the next will be added too. */
  taken(): Float64Array<ArrayBuffer> {
    return this.#values.subarray(0, this.#length);
  }

  /** Empty again, and as roomy as before. */
  clear(): void {
    this.#length = 0;
  }
}
