/** A change of the pressure before the hold: when, s before or after the shut-in, and by how much, Pa. */
export interface Rise {
  readonly timeS: number;
  readonly byPa: number;
}

const most = 32;

/** Readings this close together belong to one rise, until there are too many of them. */
const firstSpanUs = 1_000_000;

/**
 * The pressure's way to the shut-in, in constant memory: at most 32 changes, each over a span that doubles when they
 * are too many. What the compression put into the oil as heat follows from it, top-ups and bleeds included.
 */
export class RiseHistory {
  #spanUs = firstSpanUs;
  #changes: { timeUs: number; byPa: number }[] = [];
  #lastPa: number | null = null;
  #openUs = 0;
  #openFromPa = 0;

  add(timeUs: number, pressurePa: number): void {
    if (!Number.isFinite(pressurePa)) return;
    if (this.#lastPa === null) {
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa;
    } else if (timeUs - this.#openUs >= this.#spanUs) {
      this.#changes.push({ timeUs: (this.#openUs + timeUs) / 2, byPa: pressurePa - this.#openFromPa });
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa;
      if (this.#changes.length === most) this.#halve();
    }
    this.#lastPa = pressurePa;
  }

  /** The changes up to now, times counted from the shut-in. */
  until(shutInUs: number): readonly Rise[] {
    const open = this.#lastPa === null ? 0 : this.#lastPa - this.#openFromPa;
    const all = open === 0 ? this.#changes : [...this.#changes, { timeUs: this.#openUs, byPa: open }];
    return all.map(({ timeUs, byPa }) => ({ timeS: Math.min(0, (timeUs - shutInUs) / 1e6), byPa }));
  }

  #halve(): void {
    const merged: { timeUs: number; byPa: number }[] = [];
    for (let i = 0; i < this.#changes.length; i += 2) {
      const [a, b] = [this.#changes[i], this.#changes[i + 1]];
      if (!a) continue;
      if (!b) merged.push(a);
      else {
        const size = Math.abs(a.byPa) + Math.abs(b.byPa);
        const share = size > 0 ? Math.abs(b.byPa) / size : 0.5;
        merged.push({ timeUs: a.timeUs + (b.timeUs - a.timeUs) * share, byPa: a.byPa + b.byPa });
      }
    }
    this.#changes = merged;
    this.#spanUs *= 2;
  }
}
