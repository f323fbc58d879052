import type { Cell, Row, Sheet } from 'write-excel-file/node';
import type { PortResult, StageResult } from '../../evaluation/index.js';
import type { Reading } from '../../gauge/index.js';
import { gaugesInTest, namedFacts } from '../../procedure/index.js';
import { corrected, type Store, type StoredTest } from '../../record/index.js';
import { DwellmarkError, shownUnit, spell, type UnitSystem, valueIn } from '../../units/index.js';

/** Eight hours at 10 readings a second. A workbook lies in memory whole: this many take some 0.7 GB. */
const mostReadings = 300_000;

/**
 * A test as a workbook: what it is, its stages, its trace, in the customer's units. Texts are cells of text, never
 * formulas; numbers are numbers. Values are rounded by nothing but the double that a cell holds.
 * @throws DwellmarkError (`refused`) for a trace of more than 300,000 readings.
 */
export async function exportXlsx(store: Store, test: string, system: UnitSystem): Promise<Uint8Array> {
  const stored = store.test(test);
  const trace = traceRows(stored, store.trace(test), system);
  const { default: writeExcelFile } = await import('write-excel-file/node');
  const sheets: Sheet<never>[] = [
    { sheet: 'Test', data: testRows(stored), columns: [{ width: 18 }, { width: 60 }] },
    {
      sheet: 'Stages',
      data: stageRows(stored, system),
      columns: [{ width: 8 }, { width: 8 }, { width: 16 }],
      stickyRowsCount: 1,
    },
    {
      sheet: 'Trace',
      data: trace,
      columns: [{ width: 12 }, { width: 16 }, { width: 18 }, { width: 14 }],
      stickyRowsCount: 1,
    },
  ];
  return await writeExcelFile(sheets).toBuffer();
}

const head = (texts: readonly string[]): Row => texts.map((value) => ({ value, type: String, fontWeight: 'bold' }));
/** A character that XML can't hold (a steering character of an old record) is shown as U+FFFD. */
const text = (value: string): Cell => ({
  value: value.replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '\ufffd'),
  type: String,
});

function testRows(stored: StoredTest): Row[] {
  const { head: recordHead, ledger, result, voided } = stored;
  const header = corrected(stored.header, stored.corrections);
  const { cylinder, plan } = header;
  const gauges = gaugesInTest(plan).map(({ serial }) => serial);
  const facts: readonly (readonly [string, string])[] = [
    ['test', header.test],
    ['verdict', result?.verdict ?? 'none: never sealed'],
    ['customer', header.customer],
    ['work order', header.workOrder],
    ['cylinder', [cylinder.maker, cylinder.model, cylinder.serial].filter((part) => part !== '').join(' ')],
    ...namedFacts(header.facts ?? {}),
    ['procedure', `${plan.procedure.title}, revision ${plan.procedure.revision}`],
    ['limits set by', plan.procedure.source],
    ['gauges', (gauges.length > 0 ? gauges : [plan.gauge.serial]).join(', ')],
    ['started', header.startedAt],
    ['technician', header.technician],
    ['origin', header.origin],
    ['voided', voided === null ? 'no' : voided.reason],
    ['record', recordHead ?? 'not sealed'],
    ['ledger position', String(ledger ?? 'not sealed')],
  ];
  return facts.map(([name, value]) => [...head([name]), text(value)]);
}

function stageRows({ result }: StoredTest, system: UnitSystem): Row[] {
  const unit = shownUnit(system.pressure);
  const names = [
    ...['port', 'attempt', 'stage', 'verdict', `test pressure, ${unit}`, `start, ${unit}`, `end, ${unit}`, 'dwell, s'],
    ...[
      `drop for acceptance, ${unit}`,
      `± (95 %), ${unit}`,
      `allowed drop, ${unit}`,
      `smallest detectable drop, ${unit}`,
    ],
    ...['leakage, mL/min', '± (95 %), mL/min', 'readings', 'reason'],
  ];
  const attempts = (port: PortResult): readonly PortResult[] => [...port.earlierAttempts, port];
  const ports = result?.ports.flatMap(attempts) ?? [];
  return [head(names), ...ports.flatMap((port) => port.stages.map((stage) => stageRow(port, stage, system)))];
}

function stageRow({ port, attempt }: PortResult, stage: StageResult, system: UnitSystem): Row {
  const level = (pa: number | null): Cell => (pa === null ? null : valueIn(pa, 'pressure', system.pressure));
  // Gauge pressures have no offset: a difference converts as a pressure does.
  const drop = (pa: number | null): Cell => (pa === null ? null : valueIn(pa, 'pressure', system.pressure));
  const flow = (m3PerS: number | null): Cell => (m3PerS === null ? null : m3PerS * 6e7);
  return [
    ...[text(port), attempt, text(stage.name), text(stage.verdict)],
    ...[level(stage.targetPa), level(stage.startPa), level(stage.endPa), stage.dwellS],
    ...[stage.dropPa, stage.dropUncertaintyPa, stage.allowedDropPa, stage.smallestResolvableDropPa].map(drop),
    ...[flow(stage.leakM3PerS), flow(stage.leakUncertaintyM3PerS), stage.readings, text(spell(stage.reason, system))],
  ];
}

function traceRows({ header }: StoredTest, trace: Iterable<Reading>, system: UnitSystem): Row[] {
  const { opposite, oil } = header.gauge.channels;
  const unit = shownUnit(system.pressure);
  const pressure = (pa: number | null): Cell => (pa === null ? null : valueIn(pa, 'pressure', system.pressure));
  const rows: Row[] = [
    head([
      ...['time, s', `pressure, ${unit}`],
      ...(opposite ? [`other port, ${unit}`] : []),
      ...(oil ? [`oil, ${shownUnit(system.temperature)}`] : []),
      'flags',
    ]),
  ];
  for (const { timeUs, pressurePa, oppositePa, oilK, flags } of trace) {
    if (rows.length > mostReadings)
      throw new DwellmarkError(
        'refused',
        `test ${header.test} has more than ${mostReadings} readings: too many for a workbook`,
        {
          advice: 'Take --format csv or parquet.',
        },
      );
    rows.push([
      timeUs / 1e6,
      pressure(pressurePa),
      ...(opposite ? [pressure(oppositePa)] : []),
      ...(oil ? [oilK === null ? null : valueIn(oilK, 'temperature', system.temperature)] : []),
      flags,
    ]);
  }
  return rows;
}
