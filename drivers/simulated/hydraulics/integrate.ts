/** Rates of change of every state, written into `rates`. */
export type Equations = (state: Float64Array, rates: Float64Array) => void;

/**
 * Integrates ordinary differential equations over a time with the Bogacki-Shampine pair (orders 3 and 2) and
 * adaptive steps. The step depends on nothing but state and equations, so that a run repeats to the last bit.
 * @param tolerance allowed error of one step for each state, in its own unit
 */
export class Integrator {
  readonly #equations: Equations;
  readonly #tolerance: Float64Array;
  readonly #work: readonly [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  #stepS = 1e-3;

  constructor(equations: Equations, tolerance: Float64Array) {
    this.#equations = equations;
    this.#tolerance = tolerance;
    const vector = (): Float64Array => new Float64Array(tolerance.length);
    this.#work = [vector(), vector(), vector(), vector(), vector(), vector()];
  }

  /** Moves `state` on by `spanS`, in place. */
  advance(state: Float64Array, spanS: number): void {
    const [k1, k2, k3, k4, trial, next] = this.#work;
    const size = state.length;
    let leftS = spanS;
    this.#equations(state, k1);
    while (leftS > 0) {
      const last = this.#stepS >= leftS;
      const h = last ? leftS : this.#stepS;
      for (let i = 0; i < size; i++) trial[i] = at(state, i) + 0.5 * h * at(k1, i);
      this.#equations(trial, k2);
      for (let i = 0; i < size; i++) trial[i] = at(state, i) + 0.75 * h * at(k2, i);
      this.#equations(trial, k3);
      for (let i = 0; i < size; i++)
        next[i] = at(state, i) + h * ((2 / 9) * at(k1, i) + (1 / 3) * at(k2, i) + (4 / 9) * at(k3, i));
      this.#equations(next, k4);
      let worst = 0;
      for (let i = 0; i < size; i++) {
        const error = h * ((-5 / 72) * at(k1, i) + (1 / 12) * at(k2, i) + (1 / 9) * at(k3, i) - (1 / 8) * at(k4, i));
        worst = Math.max(worst, Math.abs(error) / at(this.#tolerance, i));
      }
      const factor = worst === 0 ? 5 : Math.min(5, Math.max(0.2, 0.9 / Math.cbrt(worst)));
      if (worst <= 1 || h <= 1e-9) {
        state.set(next);
        k1.set(k4);
        leftS -= h;
        if (last) leftS = 0;
      }
      if (!last || worst > 1 || factor < 1) this.#stepS = h * factor;
    }
  }
}

const at = (vector: Float64Array, index: number): number => vector[index] as number;
