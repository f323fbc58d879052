import { type Html, heads, html, table } from '../../page/index.js';
import type { Store } from '../../record/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';

/** A gauge, and when it has to go to the laboratory. */
export interface GaugeDue {
  readonly serial: string;
  readonly certificate: string;
  readonly laboratory: string;
  readonly due: string | null;
  readonly daysLeft: number | null;
}

const soonDays = 30;
const dayMs = 86_400_000;

/** Gauges of the shop file and of the ledger, the first due first; those never calibrated before them. */
export function gaugesDue({ shop, now }: Desk, store: Store): GaugeDue[] {
  const entered = new Map(store.gauges().map((gauge) => [gauge.serial, gauge.spec]));
  for (const { spec } of shop.gauges)
    entered.set(spec.serial, {
      ...spec,
      ...withCalibration(entered.get(spec.serial)?.calibration ?? spec.calibration),
    });
  const rows = [...entered.values()].map(({ serial, calibration }): GaugeDue => {
    const due = calibration?.due ?? null;
    return {
      serial,
      certificate: calibration?.certificate ?? '',
      laboratory: calibration?.laboratory ?? '',
      due,
      daysLeft: due === null ? null : Math.floor((Date.parse(due) - now().getTime()) / dayMs),
    };
  });
  return rows.sort((a, b) => (a.daysLeft ?? -1e9) - (b.daysLeft ?? -1e9));
}

const withCalibration = <T>(calibration: T | undefined): { calibration?: T } =>
  calibration === undefined ? {} : { calibration };

/** Those that are due, soon due, or were never calibrated. */
export const calibrationsDue = (desk: Desk, store: Store): GaugeDue[] =>
  gaugesDue(desk, store).filter(({ daysLeft }) => daysLeft === null || daysLeft <= soonDays);

export const gaugeRows = (caption: string, gauges: readonly GaugeDue[]): Html =>
  table(
    caption,
    heads('Gauge', 'Certificate', 'Laboratory', 'Due', 'Left'),
    gauges.map(
      ({ serial, certificate, laboratory, due, daysLeft }) =>
        html`<tr class="${daysLeft === null || daysLeft < 0 ? 'grade-alarm' : daysLeft <= soonDays ? 'grade-warn' : ''}"><th scope="row"><a href="/tests?gauge=${encodeURIComponent(serial)}">${serial}</a></th><td>${certificate}</td><td>${laboratory}</td><td class="figure">${due ?? 'no calibration entered'}</td><td class="figure">${leftText(daysLeft)}</td></tr>
`,
    ),
  );

const leftText = (days: number | null): string =>
  days === null ? '' : days < 0 ? `${-days} days over` : days === 1 ? '1 day' : `${days} days`;

export function gaugesPage(desk: Desk, store: Store): Html {
  const gauges = gaugesDue(desk, store);
  return frame(
    desk,
    '/gauges',
    'Gauges and calibrations',
    {},
    gauges.length === 0
      ? html`<p class="none">No gauge is known yet: dwellmark gauge add.</p>`
      : gaugeRows('Gauges', gauges),
    html`<p class="small">A calibration is entered at the bench: <code>dwellmark gauge calibrate</code>. When a gauge was found out: <a href="/recall">recall</a>.</p>`,
  );
}
