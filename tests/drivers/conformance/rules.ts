import { rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type DriverModule, DwellmarkError, type GaugeDriver, readPressureUnit } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, inPieces, sleep } from '../pty.js';

/** How to try a driver: what its instrument sends, and what must be read of it. */
export interface DriverCheck {
  /** Settings that open the instrument at this path. */
  settings(path: string): Record<string, unknown>;
  readonly instrument: /** Sends these bytes by itself, then falls silent. */
    | { readonly kind: 'talks'; readonly bytes: Buffer }
    /** Answers each question it hears. */
    | {
        readonly kind: 'answers';
        answer(question: Buffer, count: number): Buffer | null;
        /** Settings by which an answer is late after so many ms; without them late answers are not tried. */
        readonly late?: { readonly afterMs: number; readonly settings: Readonly<Record<string, unknown>> };
      }
    /** A recording; each must be read from its first byte. */
    | { readonly kind: 'file'; readonly text: string }
    /** Needs neither port nor file. */
    | { readonly kind: 'none' };
  /** The pressures that must be read, in order, whole pascals. */
  readonly pressuresPa: readonly (number | null)[];
}

export interface Rule {
  readonly name: string;
  /** Throws an Error that says how the rule is broken. */
  check(module: DriverModule, how: DriverCheck): Promise<void>;
}

/** The contract of `GaugeDriver` and `DriverModule`, one rule after the other. */
export function rulesFor(how: DriverCheck): readonly Rule[] {
  const rules: Rule[] = [moduleShape, unknownSetting, closing, ...pieceSizes(how).map(readsInPieces)];
  if (how.instrument.kind === 'none') return rules;
  rules.push(nothingThere);
  if (how.instrument.kind !== 'file') rules.push(noise, pulledPlug);
  if (how.instrument.kind === 'answers' && how.instrument.late)
    rules.push(spoiltAnswers(how.instrument.answer, how.instrument.late));
  return rules;
}

const pieceSizes = (how: DriverCheck): number[] =>
  how.instrument.kind === 'talks' || how.instrument.kind === 'answers' ? [1, 2, 7, 1_000_000] : [1_000_000];

const moduleShape: Rule = {
  name: 'has a name, a summary and create()',
  async check(module) {
    demand(/^[a-z][a-z0-9-]*$/.test(module.name), `name "${module.name}" is not of small letters, digits and hyphens`);
    demand(module.summary.length > 0 && !module.summary.includes('\n'), 'summary is not one line');
    demand(typeof module.create === 'function', 'create is no function');
  },
};

const unknownSetting: Rule = {
  name: 'refuses a setting it does not know, by name, before it opens anything',
  async check(module, how) {
    const made = (): GaugeDriver => module.create({ ...how.settings('/nowhere'), no_such_setting: 1 });
    const error = thrown(made);
    demand(error instanceof DwellmarkError && error.code === 'input', `no DwellmarkError "input" but ${String(error)}`);
    demand(String(error).includes('no_such_setting'), `the error does not name the setting: ${String(error)}`);
  },
};

const nothingThere: Rule = {
  name: 'says that nothing is there to open, as a DwellmarkError',
  async check(module, how) {
    const error = await module
      .create(how.settings('/nowhere/at-all'))
      .open()
      .catch((cause: unknown) => cause);
    demand(error instanceof DwellmarkError, `no DwellmarkError but ${String(error)}`);
  },
};

const closing: Rule = {
  name: 'ends a running iteration when closed, and may be closed twice',
  check: (module, how) =>
    withInstrument(module, how, 1_000_000, false, async ({ driver, seen }) => {
      await driver.close();
      await driver.close();
      const ended = await Promise.race([seen.done.then(() => true), sleep(1500).then(() => false)]);
      demand(ended, 'the iteration goes on after close()');
    }),
};

const readsInPieces = (size: number): Rule => ({
  name: `reads the same from pieces of ${size >= 1000 ? 'any size' : `${size} bytes`}, and keeps the contract of a reading`,
  check: (module, how) =>
    withInstrument(module, how, size, true, async ({ seen, description }) => {
      demand(description.driver === module.name, `description names the driver "${description.driver}"`);
      demand(description.source.length > 0, 'description has no source');
      demand(readPressureUnit(description.unit) !== undefined, `"${description.unit}" is no unit of pressure`);
      await seen.until(() => seen.readings.length >= how.pressuresPa.length);
      const read = seen.pressuresPa.slice(0, how.pressuresPa.length);
      demand(same(read, how.pressuresPa), `read ${JSON.stringify(read)}, sent ${JSON.stringify(how.pressuresPa)}`);
      let lastUs = -1;
      for (const reading of seen.readings) {
        const shown = JSON.stringify(reading);
        demand(Number.isSafeInteger(reading.timeUs) && reading.timeUs >= 0, `time is no whole microsecond: ${shown}`);
        demand(reading.timeUs >= lastUs, `time runs backwards: ${shown}`);
        lastUs = reading.timeUs;
        for (const pascals of [reading.pressurePa, reading.oppositePa])
          demand(
            pascals === null || (Number.isSafeInteger(pascals) && !Object.is(pascals, -0)),
            `no whole pascals: ${shown}`,
          );
        demand(reading.pressurePa !== null || reading.flags !== 0, `no pressure and no flag that says why: ${shown}`);
        demand(
          reading.oilK === null || (reading.oilK > 0 && reading.oilK < 1000),
          `no oil temperature in kelvins: ${shown}`,
        );
      }
    }),
});

const noise: Rule = {
  name: 'makes no reading of noise, and goes on',
  check: (module, how) =>
    withInstrument(module, how, 1_000_000, false, async ({ cable, seen }) => {
      const bytes = Buffer.from(Array.from({ length: 4000 }, (_, index) => (index * 151 + (index >> 3) * 7) & 0xff));
      await cable?.send(bytes);
      await sleep(150);
      const invented = seen.readings.filter((reading) => !how.pressuresPa.includes(reading.pressurePa));
      demand(invented.length === 0, `read ${JSON.stringify(invented[0])} from noise`);
    }),
};

const pulledPlug: Rule = {
  name: 'tells a pulled plug as the fault "unplugged" and does not end',
  check: (module, how) =>
    withInstrument(module, how, 1_000_000, true, async ({ cable, seen }) => {
      await seen.until(() => seen.readings.length >= 1);
      await cable?.unplug();
      await seen.until(() => seen.faults.some((fault) => fault.code === 'unplugged'));
      const ended = await Promise.race([seen.done.then(() => true), sleep(50).then(() => false)]);
      demand(!ended, 'the iteration ended with the plug');
    }),
};

type Answers = Extract<DriverCheck['instrument'], { kind: 'answers' }>;

/** Each answer in one of the ways that a bad cable or a slow gauge has, the last way being the good one. */
const spoiltAnswers = (
  answer: Answers['answer'],
  { afterMs: timeoutMs, settings }: NonNullable<Answers['late']>,
): Rule => ({
  name: 'makes no reading of an answer that is cut, comes late in whole or its tail, or comes twice',
  check: (module, usual) => {
    const how = { ...usual, settings: (path: string) => ({ ...usual.settings(path), ...settings }) };
    return withInstrument(module, how, 1_000_000, false, async ({ cable, seen }) => {
      const later = (bytes: Buffer, ms: number): unknown =>
        setTimeout(() => void cable?.send(bytes).catch(() => {}), ms);
      let count = 0;
      const ways: readonly ((bytes: Buffer, half: number) => unknown)[] = [
        (bytes) => cable?.send(bytes),
        (bytes, half) => [later(bytes.subarray(0, half), 0), later(bytes.subarray(half), 1.1 * timeoutMs)],
        (bytes) => later(bytes, 1.2 * timeoutMs),
        (bytes, half) => later(bytes.subarray(0, half), 0),
        (bytes, half) => [later(bytes.subarray(0, half), 0), later(bytes.subarray(half), 3.1 * timeoutMs)],
        (bytes) => cable?.send(Buffer.concat([bytes, bytes])),
        (bytes, half) => [later(Buffer.concat([bytes, bytes.subarray(0, half)]), 0), later(bytes.subarray(half), 80)],
        () => undefined,
      ];
      cable?.onBytes((question) => {
        const bytes = answer(question, 2 + (count % (how.pressuresPa.length - 1)));
        // Three good ones between two spoilt ones: the driver must find into step again.
        const way = ways[count % 4 === 3 ? Math.floor(count / 4) % ways.length : 0];
        count += 1;
        if (bytes) way?.(bytes, Math.ceil(bytes.length / 2));
      });
      const enough = (): boolean => count >= 4 * ways.length + 2;
      await seen.until(enough, 20_000);
      const invented = seen.readings.filter((reading) => !how.pressuresPa.includes(reading.pressurePa));
      demand(invented.length === 0, `read ${JSON.stringify(invented[0])}, which was not sent`);
      demand(seen.readings.length >= ways.length, `only ${seen.readings.length} readings of ${count} answers`);
    });
  },
});

interface Running {
  readonly driver: GaugeDriver;
  readonly description: Awaited<ReturnType<GaugeDriver['open']>>;
  readonly seen: Collected;
  readonly cable: Cable | undefined;
}

/** Rules may be tried at the same time: each has a file of its own. */
let files = 0;

/** Opens the driver on its instrument, lets it speak in pieces, and cleans up whatever happens. */
async function withInstrument(
  module: DriverModule,
  how: DriverCheck,
  piece: number,
  speaks: boolean,
  look: (running: Running) => Promise<void>,
): Promise<void> {
  const { instrument } = how;
  const cable = instrument.kind === 'talks' || instrument.kind === 'answers' ? await Cable.lay() : undefined;
  files += 1;
  const file = join(tmpdir(), `dwellmark-check-${process.pid}-${files}.csv`);
  if (instrument.kind === 'file') await writeFile(file, instrument.text);
  const send = async (bytes: Buffer): Promise<void> => {
    for (const part of inPieces(bytes, piece)) await cable?.send(part);
  };
  let count = 0;
  if (instrument.kind === 'answers' && speaks)
    cable?.onBytes((question) => {
      count += 1;
      const answer = instrument.answer(question, count);
      if (answer) void send(answer);
    });
  const driver = module.create(how.settings(cable?.path ?? file));
  try {
    const description = await driver.open();
    const seen = new Collected(driver);
    if (instrument.kind === 'talks' && speaks) await send(instrument.bytes);
    await look({ driver, description, seen, cable });
  } finally {
    await driver.close();
    await cable?.unplug();
    await rm(file, { force: true });
  }
}

function demand(holds: boolean, otherwise: string): asserts holds {
  if (!holds) throw new Error(otherwise);
}

const same = (a: readonly unknown[], b: readonly unknown[]): boolean => JSON.stringify(a) === JSON.stringify(b);

function thrown(act: () => unknown): unknown {
  try {
    return act();
  } catch (error) {
    return error;
  }
}
