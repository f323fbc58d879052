import type { PlausibleChoices, RegisterChoice, ValueType } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeEntry } from '../../bench/index.js';
import { DwellmarkError, shownUnit } from '../../units/index.js';
import { remark } from '../output.js';
import { type GaugeAddOptions, given, sayTry } from './found-gauge.js';
import { registers, scaleOf, typeOf, wholeNumber } from './modbus-answers.js';
import { pickLive } from './pick-live.js';

/** A value that is looked for on a device: how it is spoken of, and what it could be. */
export interface SoughtValue {
  readonly name: 'pressure' | 'oil temperature';
  /** On the wire. */
  readonly unit: string;
  /** What it could be, in its unit. */
  readonly plausible: { readonly low: number; readonly high: number };
  /** What the command line says of it. */
  readonly told: {
    readonly register: number | undefined;
    readonly type: string | undefined;
    readonly scale: number | undefined;
  };
  /** What shows the right value: `the display of the gauge`. */
  readonly compare: string;
  /** How the right way to read it is told from others: `bring pressure onto the gauge, so that they differ`. */
  readonly toTell: string;
}

/** Where a value was found, and how it is read. */
export interface FoundValue {
  /** Keys of the port and of the device on it. */
  readonly device: GaugeEntry['line'];
  readonly value: {
    readonly register: number;
    readonly type: ValueType;
    readonly word_order: RegisterChoice['wordOrder'];
    readonly scale: number;
  };
  /** One step of a whole number, in its unit; null for a float. */
  readonly step: number | null;
}

/** Over a serial line unless a gateway is named. */
export const modbusDriver = ({ driver }: GaugeAddOptions): 'modbus-rtu' | 'modbus-tcp' =>
  driver === 'modbus-tcp' ? 'modbus-tcp' : 'modbus-rtu';

/**
 * Finds the device's line, and shows the value in every word order and way of counting registers for the person to pick
 * the right one.
 * @throws DwellmarkError (`gauge`) when nothing answers.
 */
export async function modbusValue(path: string, options: GaugeAddOptions, sought: SoughtValue): Promise<FoundValue> {
  const modbus = await import('../../../drivers/modbus-rtu/index.js');
  const { yes } = options;
  const number = async (
    text: number | string | undefined,
    asked: { readonly question: string; readonly option: string; readonly preset: string },
    between: readonly [number, number],
  ): Promise<number> => {
    const check = (answer: string): unknown => wholeNumber(answer, asked.option, between);
    return Number(await given(text?.toString(), { ...asked, check, yes }));
  };
  const wanted = {
    address: await number(options.address, { question: 'Modbus address', option: '--address', preset: '1' }, [1, 247]),
    register: await number(
      sought.told.register,
      { question: `Register of the ${sought.name}, as in the manual`, option: '--register', preset: '0' },
      registers,
    ),
    type: typeOf(
      await given(sought.told.type, {
        question: `Type of the value (${modbus.valueTypes.join(', ')})`,
        option: '--type',
        preset: 'float32',
        check: (text) => typeOf(text, modbus.valueTypes),
        yes,
      }),
      modbus.valueTypes,
    ),
  };
  const whole = wanted.type !== 'float32';
  const scale = sought.told.scale ?? (whole ? await askedScale(sought, yes) : 1);
  const device = await modbus.findModbusDevice(path, wanted, {
    ...(options.baud === undefined
      ? {}
      : { lines: modbus.usualModbusLines.filter(({ baudRate }) => baudRate === options.baud) }),
    ...(options.function === undefined ? {} : { functions: [options.function] }),
    onTry: sayTry('asking'),
    tcp: modbusDriver(options) === 'modbus-tcp',
  });
  remark(`It answers, function ${device.function}.`);
  const look = (): Promise<readonly RegisterChoice[]> => modbus.registerChoices(device, wanted);
  const choices = await look();
  const proposed = modbus.plausibleChoice(choices, sought.plausible, scale);
  const picked = stated(choices, options) ?? (await pick(choices, look, { ...sought, proposed, scale, yes }));
  return {
    device: {
      path,
      // Even parity is the standard's default: what differs from it is written out.
      ...('tcp' in device.port ? {} : { baud_rate: device.port.baudRate, parity: device.port.parity }),
      address: wanted.address,
      function: device.function,
      first_register: picked.firstRegister,
    },
    value: { register: picked.register, type: wanted.type, word_order: picked.wordOrder, scale },
    step: whole ? scale : null,
  };
}

async function askedScale({ unit }: SoughtValue, yes: boolean | undefined): Promise<number> {
  const question = `Scale: the value is the number times this, in ${shownUnit(unit)}`;
  return scaleOf(await given(undefined, { question, option: '--scale', preset: '1', check: scaleOf, yes }));
}

/** The choice that the command line names. */
function stated(
  choices: readonly RegisterChoice[],
  { wordOrder, firstRegister }: GaugeAddOptions,
): RegisterChoice | null {
  if (wordOrder === undefined && firstRegister === undefined) return null;
  const found = choices.find(
    (one) => (wordOrder === undefined || one.wordOrder === wordOrder) && (firstRegister ?? 0) === one.firstRegister,
  );
  if (found) return found;
  throw new DwellmarkError('usage', `there is no word order "${wordOrder}" counted from ${firstRegister ?? 0} here`, {
    advice: `Known: ${[...new Set(choices.map((one) => one.wordOrder))].join(', ')}; --first-register 0 or 1.`,
  });
}

async function pick(
  choices: readonly RegisterChoice[],
  look: () => Promise<readonly RegisterChoice[]>,
  told: Pick<SoughtValue, 'unit' | 'compare' | 'toTell'> & {
    readonly proposed: PlausibleChoices | null;
    readonly scale: number;
    readonly yes: boolean | undefined;
  },
): Promise<RegisterChoice> {
  const { proposed, scale, unit } = told;
  if (told.yes) {
    const only = proposed?.sure ? choices[proposed.at] : undefined;
    if (only) return only;
    throw new DwellmarkError('usage', 'the word order does not show by itself', {
      advice: `Give --word-order and --first-register; or run it without --yes, and ${told.toTell}.`,
    });
  }
  if (!proposed?.sure) remark(`No row, or more than one, could be right: ${told.toTell}.`);
  const rows = (now: readonly RegisterChoice[]): string[] =>
    now.map(({ register, firstRegister, wordOrder, value }, at) => {
      const counted = `register ${register}, counted from ${firstRegister}`.padEnd(32);
      const mark = proposed?.could.includes(at) ? '  <- could be' : '';
      return `  ${at + 1}  ${counted} ${wordOrder}  ${valueText(value * scale).padStart(14)} ${shownUnit(unit)}${mark}`;
    });
  remark(`Which one does ${told.compare} show? They live while you look.`);
  const at = await pickLive(rows(choices), async () => rows(await look()), {
    question: 'Number',
    option: '--word-order and --first-register',
    preset: (proposed?.at ?? 0) + 1,
  });
  return choices[at] ?? unreachable();
}

function valueText(value: number): string {
  if (Number.isNaN(value)) return 'no value';
  if (value === 0) return '0';
  return Math.abs(value) >= 1e7 || Math.abs(value) < 1e-4
    ? value.toExponential(2)
    : String(Number(value.toPrecision(7)));
}

function unreachable(): never {
  throw new Error('a row was picked that is not there');
}
