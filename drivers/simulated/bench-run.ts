import { at, benchRates, stateAtStart, tolerances } from './hydraulics/equations.js';
import { Integrator } from './hydraulics/integrate.js';
import { leakFlow } from './hydraulics/leak-law.js';
import { chamberVolume, compliance, joined, lineVolume, type TrappedVolume } from './hydraulics/stiffness.js';
import { Stroking, type TrueStroke } from './motion/stroking.js';
import {
  commandOperator,
  type OperatorCommand,
  type OperatorPhase,
  type OperatorState,
  operatorAtStart,
  operatorStep,
  type Valves,
} from './operator.js';
import type { SimulatedBench } from './simulated-bench.js';

/** How often the operator looks at the dial, microseconds. */
const lookUs = 50_000;

/** One port on the bench, moved on in time: the operator's hand, the equations, and a check valve that may close. */
export class BenchRun {
  readonly bench: SimulatedBench;
  readonly #line: TrappedVolume;
  readonly #chamber: TrappedVolume;
  readonly #startUs: number;
  /** What the gauge sees. */
  readonly #state: Float64Array;
  readonly #integrator: Integrator;
  /** The cylinder behind its closed check valve. */
  #held: Float64Array | undefined;
  readonly #heldIntegrator: Integrator;
  readonly #stroking: Stroking | undefined;
  #strokesFromUs: number | undefined;
  #hand: OperatorState;
  #valves: Valves = { pump: false, booster: false, bleed: 1 };
  #timeUs: number;
  #nextLookUs: number;

  constructor(bench: SimulatedBench, startUs: number) {
    this.bench = bench;
    this.#startUs = startUs;
    this.#timeUs = startUs;
    this.#nextLookUs = startUs;
    const { strokes } = bench.script;
    if (strokes && !bench.piston) throw new Error('the script strokes a bench whose piston cannot move');
    this.#stroking = strokes && bench.piston ? new Stroking(bench, strokes, bench.piston) : undefined;
    this.#line = lineVolume(bench);
    this.#chamber = chamberVolume(bench);
    this.#state = stateAtStart(bench);
    this.#hand = operatorAtStart(startUs / 1e6);
    this.#integrator = new Integrator((state, rates) => {
      const alone = this.#lineAlone;
      const trapped = alone ? this.#line : joined(this.#line, this.#chamber);
      const withCylinder = !alone;
      benchRates(
        bench,
        { valves: this.#valves, ambientK: this.#ambientK, trapped, withCylinder, withLine: true },
        state,
        rates,
      );
    }, tolerances(bench));
    this.#heldIntegrator = new Integrator((state, rates) => {
      const valves = { pump: false, booster: false, bleed: 0 };
      benchRates(
        bench,
        { valves, ambientK: this.#ambientK, trapped: this.#chamber, withCylinder: true, withLine: false },
        state,
        rates,
      );
    }, tolerances(bench));
  }

  get phase(): OperatorPhase {
    return this.#hand.phase;
  }

  /** The noise-free state that the gauge sees; its layout is `at`. */
  get state(): Readonly<Float64Array> {
    return this.#state;
  }

  /** What the strokes made so far really were. */
  get strokes(): readonly TrueStroke[] {
    return this.#stroking?.done ?? [];
  }

  /** Pressure left in the cylinder behind its check valve, Pa; undefined while it stands open to the gauge. */
  get heldPa(): number | undefined {
    return this.#held?.[at.pressure];
  }

  /** V/K_eff of what the gauge is joined to, m3/Pa. */
  get complianceM3PerPa(): number {
    const trapped = this.#lineAlone ? this.#line : joined(this.#line, this.#chamber);
    return compliance(trapped, this.#get(at.undissolved), this.#get(at.pressure));
  }

  command(command: OperatorCommand): void {
    this.#hand = commandOperator(this.#hand, command, this.#timeUs / 1e6);
  }

  /** Moves on to a time, microseconds on the gauge's clock. */
  advanceTo(timeUs: number): void {
    while (this.#timeUs < timeUs) {
      if (this.#timeUs >= this.#nextLookUs) {
        this.#look();
        this.#nextLookUs += lookUs;
      }
      const untilUs = Math.min(timeUs, this.#nextLookUs);
      const spanS = (untilUs - this.#timeUs) / 1e6;
      if (this.#hand.phase === 'strokes' && this.#stroking) {
        this.#stroke(this.#stroking, untilUs);
        this.#timeUs = untilUs;
        continue;
      }
      this.#integrator.advance(this.#state, spanS);
      if (this.#held) this.#heldIntegrator.advance(this.#held, spanS);
      this.#timeUs = untilUs;
      if (this.bench.cylinderCheck && this.bench.connected === 'cylinder') this.#workCheck(spanS);
    }
  }

  get #lineAlone(): boolean {
    return this.bench.connected !== 'cylinder' || this.#held !== undefined;
  }

  get #ambientK(): number {
    const { ambientK, ambientDriftKPerS } = this.bench.heat;
    return ambientK + (ambientDriftKPerS * (this.#timeUs - this.#startUs)) / 1e6;
  }

  /** While the piston moves heat and creep are left out: the pressures are a hundredth of the test's. */
  #stroke(stroking: Stroking, untilUs: number): void {
    const fromUs = this.#strokesFromUs ?? this.#timeUs;
    this.#strokesFromUs = fromUs;
    stroking.advanceTo((untilUs - fromUs) / 1e6, (s) => Math.round(fromUs + s * 1e6));
    this.#state[at.pressure] = stroking.pressurePa;
    this.#state[at.opposite] = stroking.finished ? 0 : stroking.oppositePa;
  }

  #look(): void {
    const seen = {
      timeS: this.#timeUs / 1e6,
      pressurePa: this.#get(at.pressure),
      strokesDone: this.#stroking?.finished ?? true,
    };
    const step = operatorStep(this.bench.script, this.#hand, seen);
    this.#hand = step.state;
    this.#valves = step.valves;
  }

  /** The check closes when oil would flow out of the cylinder, and opens when the line comes up to it again. */
  #workCheck(spanS: number): void {
    if (!this.#held) {
      const leaving = this.#valves.bleed > 0 && this.#get(at.pressure) > 0;
      if (leaving) this.#held = this.#state.slice();
      return;
    }
    const heldPa = this.#held[at.pressure] ?? 0;
    const linePa = this.#get(at.pressure);
    const heldM3PerPa = compliance(this.#chamber, this.#held[at.undissolved] ?? 0, heldPa);
    const lineM3PerPa = compliance(this.#line, 0, linePa);
    const back = leakFlow(this.bench.cylinderCheck?.leakBack, heldPa - linePa) * spanS;
    this.#held[at.pressure] = heldPa - back / heldM3PerPa;
    this.#state[at.pressure] = linePa + back / lineM3PerPa;
    if (this.#get(at.pressure) < (this.#held[at.pressure] ?? 0)) return;
    const both =
      ((this.#held[at.pressure] ?? 0) * heldM3PerPa + this.#get(at.pressure) * lineM3PerPa) /
      (heldM3PerPa + lineM3PerPa);
    const pumped = this.#get(at.pumpedM3);
    const strokes = this.#get(at.strokes);
    this.#state.set(this.#held);
    this.#state[at.pressure] = both;
    this.#state[at.pumpedM3] = pumped;
    this.#state[at.strokes] = strokes;
    this.#held = undefined;
  }

  #get(index: number): number {
    return this.#state[index] ?? 0;
  }
}
