import type { ReadingColumns } from '../../gauge/index.js';

/** No hydraulic oil is colder or hotter than this in a test: what a probe says beyond it is a fault of the probe. */
const [coldestK, hottestK] = [213, 473];

/** A temperature as far as oil can have it; NaN for none. */
export const usableOilK = (oilK: number): number => (oilK >= coldestK && oilK <= hottestK ? oilK : Number.NaN);

/** A stretch of a trace as means: what is left of its readings when there are too many to keep. */
export interface Blocks {
  /** How many blocks; the arrays below have this length. */
  readonly length: number;
  /** Readings in each block. */
  readonly count: Float64Array;
  /** Mean time of the readings, s from the first. */
  readonly timeS: Float64Array;
  /** Mean pressure, Pa, less `referencePa`. */
  readonly pressure: Float64Array;
  /** Mean oil temperature, K, less `referenceK`; NaN where none was read. */
  readonly oil: Float64Array;
  readonly referencePa: number;
  readonly referenceK: number;
}

const capacity = 1024;
const fields = 5;
const [N, T, P, OIL_N, OIL] = [0, 1, 2, 3, 4] as const;

/**
 * Readings gathered into at most 1024 blocks of equally many readings; when they are full, neighbours are merged two
 * by two and blocks twice as long are filled from then on. Memory is constant whatever the dwell's length; up to
 * 1024 readings nothing is averaged at all.
 */
export class BlockMeans {
  readonly #data = new Float64Array(capacity * fields);
  #closed = 0;
  #size = 1;
  #first = true;
  #referencePa = 0;
  #referenceK = Number.NaN;
  /** The block being filled: sums about its first reading. */
  #n = 0;
  #t0 = 0;
  #p0 = 0;
  #st = 0;
  #sp = 0;
  #oilN = 0;
  #oil = 0;

  /** @param oilK NaN for none */
  add(timeS: number, pressurePa: number, oilK: number): void {
    if (this.#first) {
      this.#first = false;
      this.#referencePa = pressurePa;
    }
    if (this.#n === 0) {
      this.#t0 = timeS;
      this.#p0 = pressurePa - this.#referencePa;
    }
    const t = timeS - this.#t0;
    const p = pressurePa - this.#referencePa - this.#p0;
    this.#n++;
    this.#st += t;
    this.#sp += p;
    if (!Number.isNaN(oilK)) {
      if (Number.isNaN(this.#referenceK)) this.#referenceK = oilK;
      this.#oilN++;
      this.#oil += oilK - this.#referenceK;
    }
    if (this.#n === this.#size) this.#close();
  }

  /**
   * Readings of an index up to another, each with a pressure: what {@link add} makes of each in turn.
   * @param startUs time that the seconds count from
   */
  addColumns({ timeUs, pressurePa, oilMilliK }: ReadingColumns, from: number, until: number, startUs: number): void {
    let at = from;
    while (at < until) {
      if (this.#n === 0) {
        const oilK = usableOilK((oilMilliK[at] as number) / 1000);
        this.add(((timeUs[at] as number) - startUs) / 1e6, pressurePa[at] as number, oilK);
        at += 1;
        continue;
      }
      const end = Math.min(until, at + this.#size - this.#n);
      const [t0, p0, referencePa] = [this.#t0, this.#p0, this.#referencePa];
      let [st, sp] = [this.#st, this.#sp];
      let [oilN, oilSum, referenceK] = [this.#oilN, this.#oil, this.#referenceK];
      this.#n += end - at;
      for (; at < end; at += 1) {
        st += ((timeUs[at] as number) - startUs) / 1e6 - t0;
        sp += (pressurePa[at] as number) - referencePa - p0;
        const oilK = usableOilK((oilMilliK[at] as number) / 1000);
        if (Number.isNaN(oilK)) continue;
        if (Number.isNaN(referenceK)) referenceK = oilK;
        oilN += 1;
        oilSum += oilK - referenceK;
      }
      [this.#st, this.#sp] = [st, sp];
      [this.#oilN, this.#oil, this.#referenceK] = [oilN, oilSum, referenceK];
      if (this.#n === this.#size) this.#close();
    }
  }

  #close(): void {
    this.#write(this.#closed);
    this.#closed++;
    this.#n = this.#st = this.#sp = this.#oilN = this.#oil = 0;
    if (this.#closed === capacity) this.#halve();
  }

  /** Puts the block being filled into a row of the table. */
  #write(row: number): void {
    const n = this.#n;
    const at = row * fields;
    const data = this.#data;
    data[at + N] = n;
    data[at + T] = this.#t0 + this.#st / n;
    data[at + P] = this.#p0 + this.#sp / n;
    data[at + OIL_N] = this.#oilN;
    data[at + OIL] = this.#oilN > 0 ? this.#oil / this.#oilN : 0;
  }

  #halve(): void {
    for (let row = 0; row < capacity / 2; row++) mergeRows(this.#data, 2 * row, 2 * row + 1, row);
    this.#closed = capacity / 2;
    this.#size *= 2;
  }

  /** The blocks as they stand; later readings don't change what was returned. */
  snapshot(): Blocks {
    const open = this.#n > 0 ? 1 : 0;
    if (open) this.#write(this.#closed);
    const length = this.#closed + open;
    const column = (field: number): Float64Array =>
      Float64Array.from({ length }, (_, row) => this.#data[row * fields + field] ?? 0);
    const oilCount = column(OIL_N);
    return {
      length,
      count: column(N),
      timeS: column(T),
      pressure: column(P),
      oil: column(OIL).map((value, row) => ((oilCount[row] ?? 0) > 0 ? value : Number.NaN)),
      referencePa: this.#referencePa,
      referenceK: this.#referenceK,
    };
  }
}

/** Merges two rows of the table into a third (which may be the first). An empty row adds nothing. */
function mergeRows(data: Float64Array, first: number, second: number, into: number): void {
  const a = first * fields;
  const b = second * fields;
  const get = (at: number): number => data[at] as number;
  const na = get(a + N);
  const nb = get(b + N);
  const n = na + nb;
  const share = n > 0 ? nb / n : 0;
  const oilN = get(a + OIL_N) + get(b + OIL_N);
  const oilShare = oilN > 0 ? get(b + OIL_N) / oilN : 0;
  const merged = [
    n,
    get(a + T) * (1 - share) + get(b + T) * share,
    get(a + P) * (1 - share) + get(b + P) * share,
    oilN,
    get(a + OIL) * (1 - oilShare) + get(b + OIL) * oilShare,
  ];
  data.set(merged, into * fields);
}
