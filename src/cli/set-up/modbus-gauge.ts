import type { FoundDevice, PlausibleChoices, RegisterChoice, ValueType } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeEntry } from '../../bench/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { AnswerCheck } from '../ask.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given, sayTry } from './found-gauge.js';
import { pickLive } from './pick-live.js';

interface NumberAsked {
  readonly question: string;
  readonly option: string;
  readonly preset: string;
  readonly between: readonly [low: number, high: number];
}

const registers = [0, 65_535] as const;

interface Wanted {
  readonly address: number;
  readonly register: number;
  readonly type: ValueType;
}

/**
 * Sets up a gauge on Modbus RTU: finds its line, shows the value in every word order and way of counting registers for
 * the person to pick what the display shows, and asks for the registers of oil temperature and status.
 * @param range in the unit on the wire, for what is plausible.
 * @throws DwellmarkError (`gauge`) when nothing answers.
 */
export async function modbusGauge(
  path: string,
  options: GaugeAddOptions,
  range: { readonly low: number; readonly high: number; readonly unit: string },
): Promise<FoundGauge> {
  const modbus = await import('../../../drivers/modbus-rtu/index.js');
  const asksNothing = options.yes === undefined ? {} : { yes: options.yes };
  const number = async (text: number | string | undefined, asked: NumberAsked): Promise<number> => {
    const { question, option, preset, between } = asked;
    const check = (answer: string): unknown => wholeNumber(answer, option, between);
    return Number(await given(text?.toString(), { question, option, preset, check, ...asksNothing }));
  };
  const wanted: Wanted = {
    address: await number(options.address, {
      question: 'Modbus address',
      option: '--address',
      preset: '1',
      between: [1, 247],
    }),
    register: await number(options.register, {
      question: 'Register of the pressure, as in the manual',
      option: '--register',
      preset: '0',
      between: registers,
    }),
    type: typeOf(
      await given(options.type, {
        question: `Type of the value (${modbus.valueTypes.join(', ')})`,
        option: '--type',
        preset: 'float32',
        check: (text) => typeOf(text, modbus.valueTypes),
        ...asksNothing,
      }),
      modbus.valueTypes,
    ),
  };
  const whole = wanted.type !== 'float32';
  const scale =
    options.scale ??
    (whole
      ? realNumber(
          await given(undefined, {
            question: `Scale: the value is the number times this, in ${range.unit}`,
            option: '--scale',
            preset: '1',
            check: realNumber,
            ...asksNothing,
          }),
        )
      : 1);
  const device = await modbus.findModbusDevice(path, wanted, {
    ...(options.baud === undefined
      ? {}
      : { lines: modbus.usualModbusLines.filter(({ baudRate }) => baudRate === options.baud) }),
    ...(options.function === undefined ? {} : { functions: [options.function] }),
    onTry: sayTry('asking'),
  });
  remark(`It answers, function ${device.function}.`);
  const choices = await modbus.registerChoices(device, wanted);
  const proposed = modbus.plausibleChoice(choices, range, scale);
  const look = (): Promise<readonly RegisterChoice[]> => modbus.registerChoices(device, wanted);
  const picked =
    stated(choices, options) ??
    (await pick(choices, look, { proposed, scale, unit: range.unit, yes: options.yes === true }));
  const value = { register: picked.register, type: wanted.type, word_order: picked.wordOrder, scale };
  return {
    driver: 'modbus-rtu',
    measures: 'pressure',
    step: whole ? scale : null,
    line: {
      path,
      ...wireKeys(device),
      address: wanted.address,
      function: device.function,
      first_register: picked.firstRegister,
      unit: options.unit ?? range.unit,
      pressure: value,
      ...(await otherRegisters(options, picked, modbus.valueTypes)),
    },
  };
}

/** Even parity is the standard's default: what differs from it is written out. */
const wireKeys = ({ port }: FoundDevice): GaugeEntry['line'] => ({ baud_rate: port.baudRate, parity: port.parity });

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
  told: {
    readonly proposed: PlausibleChoices | null;
    readonly scale: number;
    readonly unit: string;
    readonly yes: boolean;
  },
): Promise<RegisterChoice> {
  const { proposed, scale, unit } = told;
  if (told.yes) {
    const only = proposed?.sure ? choices[proposed.at] : undefined;
    if (only) return only;
    throw new DwellmarkError('usage', 'the word order does not show by itself', {
      advice:
        'Give --word-order and --first-register, or bring pressure onto the gauge so that one value fits its range.',
    });
  }
  if (!proposed?.sure)
    remark('No row, or more than one, could be right: bring pressure onto the gauge, so that they differ.');
  const rows = (now: readonly RegisterChoice[]): string[] =>
    now.map(({ register, firstRegister, wordOrder, value }, at) => {
      const counted = `register ${register}, counted from ${firstRegister}`.padEnd(32);
      const mark = proposed?.could.includes(at) ? '  <- could be' : '';
      return `  ${at + 1}  ${counted} ${wordOrder}  ${valueText(value * scale).padStart(14)} ${unit}${mark}`;
    });
  remark('Which one does the display of the gauge show? They live while you look.');
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

/** Oil temperature and status, in the same request; asked for unless nothing is to be asked. */
async function otherRegisters(
  options: GaugeAddOptions,
  picked: RegisterChoice,
  types: readonly ValueType[],
): Promise<GaugeEntry['line']> {
  const place = async (text: number | undefined, question: string, option: string): Promise<number | null> => {
    if (text !== undefined) return text;
    if (options.yes) return null;
    const check = (answer: string): unknown => answer === '' || wholeNumber(answer, option, registers);
    const answer = await given(undefined, { question: `${question} (Enter: none)`, option, preset: '', check });
    return answer === '' ? null : Number(answer);
  };
  const asked = async (
    text: string | undefined,
    [question, option, preset]: readonly [string, string, string],
    check: AnswerCheck,
  ): Promise<string> => given(text, { question, option, preset, check, yes: options.yes });
  const oil = await place(options.oilRegister, 'Register of the oil temperature, °C', '--oil-register');
  const oilKeys =
    oil === null
      ? {}
      : {
          oil: {
            register: oil,
            type: typeOf(
              await asked(options.oilType, ['Its type', '--oil-type', 'float32'], (text) => typeOf(text, types)),
              types,
            ),
            word_order: picked.wordOrder,
            scale: realNumber(await asked(options.oilScale?.toString(), ['Its scale', '--oil-scale', '1'], realNumber)),
          },
        };
  const status = await place(options.statusRegister, 'Register of a status', '--status-register');
  if (status === null) return oilKeys;
  const good = await asked(options.statusGood?.toString(), ['Number that means well', '--status-good', '0'], (text) =>
    wholeNumber(text, '--status-good', registers),
  );
  return { ...oilKeys, status: { register: status, good: [Number(good)] } };
}

function typeOf(text: string, types: readonly ValueType[]): ValueType {
  const type = types.find((one) => one === text);
  if (type) return type;
  throw new DwellmarkError('usage', `"${text}" is no type of a value`, { advice: `Known: ${types.join(', ')}.` });
}

function wholeNumber(text: string, option: string, [low, high]: NumberAsked['between']): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isInteger(value) && value >= low && value <= high) return value;
  throw new DwellmarkError('usage', `"${text}" is no whole number from ${low} to ${high}`, {
    advice: `Look it up in the manual; ${option} takes it too.`,
  });
}

function realNumber(text: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && value !== 0) return value;
  throw new DwellmarkError('usage', `"${text}" is no scale`, { advice: 'Write for example 0.1.' });
}

function unreachable(): never {
  throw new Error('a row was picked that is not there');
}
