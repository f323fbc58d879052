/** A stretch of time in which the pressure lay between two values; not seen: no reading fell into it. */
export interface SketchColumn {
  readonly lowPa: number;
  readonly highPa: number;
}

const most = 1024;
const finestUs = 100_000;

/**
 * A trace of any length in at most 1024 columns of equal time: neighbours are joined whenever it would outgrow them.
 * Gaps stay gaps.
 */
export class TraceSketch {
  #columns: (SketchColumn | null)[] = [];
  #columnUs = finestUs;
  #startUs: number | null = null;
  #endUs = 0;

  get columns(): readonly (SketchColumn | null)[] {
    return this.#columns;
  }

  /** Time of one column, s. */
  get columnS(): number {
    return this.#columnUs / 1e6;
  }

  /** From the first reading to the last, s. */
  get spanS(): number {
    return this.#startUs === null ? 0 : (this.#endUs - this.#startUs) / 1e6;
  }

  add(timeUs: number, pressurePa: number): void {
    this.#startUs ??= timeUs;
    if (timeUs < this.#startUs) return;
    this.#endUs = Math.max(this.#endUs, timeUs);
    while (this.#at(timeUs) >= most) this.#halve();
    const at = this.#at(timeUs);
    while (this.#columns.length <= at) this.#columns.push(null);
    const before = this.#columns[at];
    this.#columns[at] = before
      ? { lowPa: Math.min(before.lowPa, pressurePa), highPa: Math.max(before.highPa, pressurePa) }
      : { lowPa: pressurePa, highPa: pressurePa };
  }

  #at(timeUs: number): number {
    return Math.floor((timeUs - (this.#startUs ?? 0)) / this.#columnUs);
  }

  #halve(): void {
    const half: (SketchColumn | null)[] = [];
    for (let i = 0; i < this.#columns.length; i += 2) half.push(joined(this.#columns[i], this.#columns[i + 1]));
    this.#columns = half;
    this.#columnUs *= 2;
  }
}

function joined(a: SketchColumn | null | undefined, b: SketchColumn | null | undefined): SketchColumn | null {
  if (!a || !b) return a ?? b ?? null;
  return { lowPa: Math.min(a.lowPa, b.lowPa), highPa: Math.max(a.highPa, b.highPa) };
}
