import { type HoldInput, portOf } from '../../holdtest/index.js';
import { gaugeAt, gaugesInTest } from '../../procedure/index.js';
import type { TestHeader } from '../../record/index.js';
import { DwellmarkError, parseQuantity, pressurePa } from '../../units/index.js';
import { judgementOf } from '../checked-test.js';

/**
 * How far off a gauge was found: it read `fraction` of the true pressure too much (0.01: 1 %) and `offsetPa` on top. The
 * true pressure is (indicated - offset) / (1 + fraction).
 */
export interface GaugeError {
  readonly fraction: number;
  readonly offsetPa: number;
}

/**
 * Reads `1 %`, `0.5 bar`, `-7 psi`, `1 % + 0.5 bar`; a number alone is per cent. Positive: the gauge read too high.
 * @throws DwellmarkError (`input`).
 * @example gaugeError('1 % + 0.5 bar') // { fraction: 0.01, offsetPa: 50000 }
 */
export function gaugeError(text: string, key = '--reads-high'): GaugeError {
  let [fraction, offsetPa] = [0, 0];
  for (const part of text.split(/\s+\+\s+/)) {
    const share = /^\s*([+\-−]?\d+(?:\.\d+)?)\s*%?\s*$/.exec(part);
    if (share?.[1]) fraction += Number(share[1].replace('−', '-')) / 100;
    else offsetPa += parseQuantity(part, 'pressure-difference', { key });
  }
  if (!(fraction > -1))
    throw new DwellmarkError('usage', `a gauge can't read ${fraction * 100} % too much`, { place: { key } });
  return { fraction, offsetPa };
}

/** The same inputs with the readings that a true gauge would have given, in whole pascals. */
export function* shifted(
  inputs: Iterable<HoldInput>,
  error: GaugeError,
  read: GaugeReads = { pressure: true, opposite: false },
): Iterable<HoldInput> {
  for (const input of inputs) yield asTrue(input, error, read);
}

/** Which values of a reading a gauge gave. */
export interface GaugeReads {
  readonly pressure: boolean;
  readonly opposite: boolean;
}

/** The inputs of a stored test as they would have been, had one of its gauges read true. */
export function* readTrue(
  header: TestHeader,
  inputs: Iterable<HoldInput>,
  gauge: string,
  error: GaugeError,
): Iterable<HoldInput> {
  const { plan } = header;
  const alone = gaugesInTest(plan).filter(({ spec }) => spec !== null).length <= 1;
  if (alone) return yield* shifted(inputs, error, { pressure: true, opposite: true });
  // With several gauges it depends on the port under test: the phases say which that is.
  const phases = judgementOf(header);
  for (const input of inputs) {
    const port = portOf(plan, phases.state);
    const main = gaugeAt(plan, port).serial;
    const opposite = port?.oppositeGauge?.serial ?? main;
    const changed = asTrue(input, error, { pressure: main === gauge, opposite: opposite === gauge });
    phases.add(changed);
    yield changed;
  }
}

function asTrue(input: HoldInput, error: GaugeError, read: GaugeReads): HoldInput {
  if (input.kind !== 'reading') return input;
  const { pressurePa: pressure, oppositePa: opposite, ...reading } = input.reading;
  const truePa = (indicated: number) => pressurePa(Math.round((indicated - error.offsetPa) / (1 + error.fraction)));
  return {
    kind: 'reading',
    reading: {
      ...reading,
      pressurePa: read.pressure && pressure !== null ? truePa(pressure) : pressure,
      oppositePa: read.opposite && opposite !== null ? truePa(opposite) : opposite,
    },
  };
}
