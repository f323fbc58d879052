import type { GaugeFault, Reading, ReadingColumns } from '../gauge/index.js';
import type { PortName } from '../hydraulics/index.js';
import type { Temperature } from '../units/index.js';

/** Everything that can happen to a hold test, in the order it happened. The record keeps exactly these. */
export type HoldInput =
  | { readonly kind: 'reading'; readonly reading: Reading }
  | { readonly kind: 'fault'; readonly fault: GaugeFault }
  | { readonly kind: 'operator'; readonly timeUs: number; readonly act: OperatorAct }
  | { readonly kind: 'end'; readonly timeUs: number; readonly why: EndReason };

/** Inputs a stretch at a time: readings that came one after another, or one input of another kind. */
export type HoldStretch = { readonly readings: ReadingColumns } | { readonly input: HoldInput };

/** A test's inputs one by one; where they are stored, also stretch by stretch, which is quicker to judge. */
export interface HoldInputs extends Iterable<HoldInput> {
  stretches?(): Iterable<HoldStretch>;
}

/** Why a test's inputs end: the log is over, the ports are done, the operator stopped, or the program was cut off. */
export type EndReason = 'end of trace' | 'complete' | 'stopped' | 'interrupted';

/** What a person at the bench did or saw. */
export type OperatorAct =
  /** The one thing asked for has been done: lines connected, port changed, report read. */
  | { readonly kind: 'continue' }
  | { readonly kind: 'note'; readonly text: string }
  | { readonly kind: 'observation'; readonly observation: LeakObservation }
  | { readonly kind: 'collected'; readonly volumeM3: number; readonly overS: number }
  | { readonly kind: 'oil-temperature'; readonly oilK: Temperature }
  | { readonly kind: 'strokes'; readonly count: number }
  | { readonly kind: 'oil-pumped'; readonly volumeM3: number }
  /** Every leak point has been looked at during the dwell. */
  | { readonly kind: 'inspected' }
  | { readonly kind: 'acknowledge' }
  /** An entry of the attempt under way was wrong; `entry` is its place among them, counted from 0. */
  | { readonly kind: 'take-back'; readonly entry: number; readonly reason: string }
  | { readonly kind: 'end-dwell'; readonly reason: string }
  | { readonly kind: 'stop'; readonly reason: string }
  | { readonly kind: 'force'; readonly to: PhaseName; readonly reason: string }
  | { readonly kind: 'repeat'; readonly port: PortName; readonly cause: RepeatCause; readonly reason: string };

export type RepeatCause = 'bench fault' | 'failed';

export type PhaseName = 'ready' | 'ramp' | 'stabilise' | 'dwell' | 'bleed-down' | 'done';

/** Where oil can be seen during a hold. */
export const leakPoints = [
  'rod seal and wiper',
  'gland O-ring',
  'head thread or bolts',
  'port A boss',
  'port B boss',
  'cap weld or cap seal',
  'tie rods',
  'bleed or cushion screw',
  'sensor boss',
  'mounted valve face',
  'open opposite port',
  'barrel or weld',
  'bench line or fitting',
] as const;
export type LeakPoint = (typeof leakPoints)[number];

/** How much oil was seen, from none to a stream. A film on the rod is allowed; a drop is a leak. */
export const leakAmounts = ['dry', 'film', 'weep', 'drops', 'run'] as const;
export type LeakAmount = (typeof leakAmounts)[number];

export interface LeakObservation {
  readonly point: LeakPoint;
  readonly amount: LeakAmount;
  /** Drops counted, with `drops`. */
  readonly drops?: number;
  readonly text?: string;
}
