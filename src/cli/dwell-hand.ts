import type { HoldRun } from '../bench/index.js';
import type { GaugeItem } from '../gauge/index.js';
import type { OperatorAct } from '../holdtest/index.js';
import type { PortName } from '../hydraulics/index.js';
import type { TestPlan } from '../procedure/index.js';

/** This share of a dwell is over when what belongs to its end is put down, s/s: a log may stop with its dwell. */
const nearEnd = 0.98;

/** What a person did in a dwell. */
export interface DwellActs {
  readonly atStart: readonly OperatorAct[];
  readonly nearEnd: (port: PortName) => readonly OperatorAct[];
}

/** What a person did in each dwell of a trace that is not live: put down at the start of the dwell and near its end. */
export class DwellHand {
  readonly #plan: TestPlan;
  readonly #acts: DwellActs;
  #startUs: number | null = null;
  #ended = false;

  constructor(plan: TestPlan, acts: DwellActs) {
    this.#plan = plan;
    this.#acts = acts;
  }

  /** To be called after each item that the run has taken. */
  after(hold: HoldRun, item: GaugeItem): void {
    const { phase, portIndex, stageIndex } = hold.state;
    if (phase.name !== 'dwell' || item.kind !== 'reading') return;
    const { timeUs } = item.reading;
    if (this.#startUs !== phase.startUs) {
      for (const act of this.#acts.atStart) hold.act(act, timeUs);
      [this.#startUs, this.#ended] = [phase.startUs, false];
    }
    const port = this.#plan.ports[portIndex];
    const dwellS = port?.stages[stageIndex]?.dwellS ?? Number.POSITIVE_INFINITY;
    if (!port || this.#ended || (timeUs - phase.startUs) / 1e6 < nearEnd * dwellS) return;
    for (const act of this.#acts.nearEnd(port.port)) hold.act(act, timeUs);
    this.#ended = true;
  }
}
