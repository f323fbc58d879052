import { gaugesInTest } from '../../procedure/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { TestHeader } from '../header.js';

/** The columns a test is found by: drawn from its header, never the source of anything. */
export interface SummaryRow {
  readonly test: string;
  readonly started_ms: number;
  readonly started_at: string;
  readonly customer: string;
  readonly serial: string;
  readonly work_order: string;
  readonly gauge: string;
  readonly technician: string;
  readonly procedure: string;
  readonly origin: string;
  readonly customer_folded: string;
  readonly serial_folded: string;
  readonly work_order_folded: string;
  readonly gauge_folded: string;
  readonly technician_folded: string;
  readonly procedure_folded: string;
}

/** The row for a header. @throws DwellmarkError (`input`) when the start is no point in time. */
export function summaryRow(header: TestHeader): SummaryRow {
  const startedMs = Date.parse(header.startedAt);
  if (!Number.isFinite(startedMs))
    throw new DwellmarkError('input', `the test's start "${header.startedAt}" is no point in time`);
  const gauge = header.plan.gauge.serial;
  const procedure = header.plan.procedure.id;
  return {
    test: header.test,
    started_ms: startedMs,
    started_at: header.startedAt,
    customer: header.customer,
    serial: header.cylinder.serial,
    work_order: header.workOrder,
    gauge,
    technician: header.technician,
    procedure,
    origin: header.origin,
    customer_folded: fold(header.customer),
    serial_folded: fold(header.cylinder.serial),
    work_order_folded: fold(header.workOrder),
    gauge_folded: fold(
      gaugesInTest(header.plan)
        .map(({ serial }) => serial)
        .join('\n'),
    ),
    technician_folded: fold(header.technician),
    procedure_folded: fold(procedure),
  };
}

/** Upper and lower case, wide and narrow letters alike: `fold('ＭÜLLER')` is `müller`. */
export const fold = (text: string): string => text.normalize('NFKC').toLowerCase();
