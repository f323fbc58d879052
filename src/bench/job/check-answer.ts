import { type Cylinder, type CylinderKind, cylinderFaults, findFluid } from '../../hydraulics/index.js';
import {
  type Dimension,
  DwellmarkError,
  oneLine,
  parseQuantity,
  pressurePa,
  type UnitSystem,
} from '../../units/index.js';
import type { ShopKnows } from './known.js';
import { type Answers, asBefore, type JobQuestion } from './questions.js';

/** The unit that a bare number is taken in. */
export const bareUnit = ({ dimension, unit }: JobQuestion, system: UnitSystem): string | undefined => {
  if (dimension === undefined || unit !== undefined) return unit;
  const own: Partial<Record<Dimension, string>> = {
    length: system.length,
    pressure: system.pressure,
    volume: system.length === 'in' ? 'in3' : 'L',
  };
  return own[dimension];
};

/**
 * An answer as it will stand in the file: a bare number gets its unit, a choice may be typed in any case.
 * @throws DwellmarkError (`usage` or `input`) that says what is wrong with it.
 * @example checkAnswer(bore, '100', { kind: 'double-acting' }, knows) // '100 mm'
 */
export function checkAnswer(question: JobQuestion, given: string, answers: Answers, knows: ShopKnows): string {
  const text = oneLine(given, question.ask);
  if (text === '') {
    if (question.optional) return '';
    throw new DwellmarkError('usage', 'Nothing was typed');
  }
  const written = writtenAs(question, text, answers, knows);
  refuseMeasures(question, written, answers);
  return written;
}

function writtenAs(question: JobQuestion, text: string, answers: Answers, knows: ShopKnows): string {
  const { choices, dimension, form, key } = question;
  if (choices) {
    const all = choices(answers, knows);
    const fluid = key === 'fluid' ? findFluid(text)?.name : undefined;
    const found = all.find((choice) => choice.toLowerCase() === text.toLowerCase()) ?? fluid;
    if (found !== undefined) return found;
    if (text === asBefore && answers[key] === asBefore) return text;
    throw new DwellmarkError('usage', `"${text}" is none of the answers`, { advice: `One of: ${all.join(', ')}.` });
  }
  if (form === 'date') return dateOf(text);
  if (form === 'torque') return torqueOf(text);
  if (form === 'list')
    return text
      .split(',')
      .map((part) => part.trim())
      .filter((part) => part !== '')
      .join(', ');
  if (dimension === undefined) return text;
  const measure = (one: string): string => {
    const unit = bareUnit(question, knows.system);
    const whole = /[a-zA-Z"]/.test(one) || unit === undefined ? one : `${one} ${unit}`;
    if (!(parseQuantity(whole, dimension) > 0) && !(key === 'line_volume' && parseQuantity(whole, dimension) === 0))
      throw new DwellmarkError('usage', `"${one}" is not more than zero`);
    return whole;
  };
  return form === 'list of lengths' ? lengthsOf(text).map(measure).join(', ') : measure(text);
}

/** `100 80 60`, `100/80/60` and `100 mm, 80 mm` alike. */
const lengthsOf = (text: string): readonly string[] =>
  text
    .split(/[,;/+]|\s+(?=[\d.])/)
    .map((one) => one.trim())
    .filter((one) => one !== '');

function torqueOf(text: string): string {
  const parts = text.split(',').map((part) => part.trim());
  if (parts.length === 3 && parts.every((part) => part !== '')) return parts.join(', ');
  throw new DwellmarkError('usage', `"${text}" is not part, torque and tool`, {
    advice: 'For example: head, 450 N m, TW 12',
  });
}

function dateOf(text: string): string {
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (!Number.isNaN(time) && new Date(time).toISOString().startsWith(text)) return text;
  throw new DwellmarkError('usage', `"${text}" is not a date`, { advice: 'Write year-month-day: 2026-03-14.' });
}

/** Measures that contradict each other are told where the second of them is typed. */
function refuseMeasures({ key }: JobQuestion, text: string, answers: Answers): void {
  const telling = fieldsOf[key];
  if (telling === undefined) return;
  const said: Answers = { ...answers, [key]: text };
  const length = (name: string): number | undefined => {
    const value = said[name];
    return value ? parseQuantity(value, 'length') : undefined;
  };
  const stages = said.kind === 'telescopic' && said.stage_bores ? said.stage_bores.split(', ') : undefined;
  const stageBoresM = stages?.map((bore) => parseQuantity(bore, 'length'));
  const outside = length('barrel_outside');
  const measures: Cylinder = {
    kind: (said.kind ?? 'double-acting') as CylinderKind,
    boreM: stageBoresM?.[0] ?? length('bore') ?? Number.POSITIVE_INFINITY,
    rodM: length('rod') ?? 0,
    strokeM: length('stroke') ?? 1,
    ratedPressurePa: pressurePa(1e5),
    ...(outside === undefined ? {} : { barrelOutsideM: outside }),
    ...(stageBoresM === undefined ? {} : { stageBoresM }),
  };
  const needed = (name: string): boolean => said[name] === undefined || said[name] === '';
  const fault = cylinderFaults(measures).find(
    ({ field }) => telling.includes(field) && !(field === 'rodM' && needed('rod')),
  );
  if (fault && (measures.boreM !== Number.POSITIVE_INFINITY || fault.field === 'stageBoresM'))
    throw new DwellmarkError('usage', `The measures can't be: ${fault.text}`);
  if (key === 'stage_bores' && (stageBoresM?.length ?? 0) < 2)
    throw new DwellmarkError('usage', 'A telescopic cylinder has at least two stages');
}

/** Which faults show at an answer. */
const fieldsOf: Readonly<Record<string, readonly (keyof Cylinder)[]>> = {
  bore: ['rodM', 'barrelOutsideM'],
  rod: ['rodM'],
  barrel_outside: ['barrelOutsideM'],
  stage_bores: ['stageBoresM', 'rodM'],
};
