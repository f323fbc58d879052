import { stringify } from 'smol-toml';
import { type Answers, asBefore, jobQuestions, stands } from './questions.js';

/** A job's TOML as data: what it says, and what a person never was asked. */
export type JobTable = Readonly<Record<string, unknown>>;
type Writable = Record<string, unknown>;

/** The answers that a job's file gives. */
export function answersOf(table: JobTable): Answers {
  const answers: Record<string, string> = {};
  for (const { key, path } of jobQuestions) {
    const value = path?.reduce<unknown>((at, name) => (isTable(at) ? at[name] : undefined), table);
    if (typeof value === 'string') answers[key] = value;
    else if (value instanceof Date) answers[key] = value.toISOString().slice(0, 10);
    else if (Array.isArray(value) && value.every((one) => typeof one === 'string')) answers[key] = value.join(', ');
  }
  const ports = portTables(table);
  if (isTable(table.gauge)) answers.gauge = asBefore;
  if (isTable(table.cylinder)) answers.kind ??= 'double-acting';
  if (ports.length === 0) return answers;
  return {
    ...answers,
    ports: ports.map(({ name }) => String(name)).join(' and '),
    ...same('position', ports.map(standOf)),
    ...same(
      'opposite',
      ports.map(({ opposite }) => opposite),
    ),
    ...same(
      'line_volume',
      ports.map(({ line_volume: volume }) => volume),
    ),
  };
}

const isTable = (value: unknown): value is JobTable =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Date);

const portTables = ({ port }: JobTable): readonly JobTable[] => (Array.isArray(port) ? port.filter(isTable) : []);

function same(key: string, values: readonly unknown[]): Answers {
  const [first] = values;
  if (first === undefined && values.every((value) => value === undefined)) return {};
  return { [key]: values.every((value) => value === first) ? String(first) : asBefore };
}

const standOf = ({ position, restrained }: JobTable): string =>
  position === 'mid-stroke restrained' ? stands[2] : restrained === true ? stands[1] : stands[0];

/** What of a former job says nothing of the next: its order and what was done then. */
export function withoutOrder(table: JobTable): JobTable {
  const {
    work_order: _w,
    purpose: _p,
    order: _o,
    work_done: _d,
    torque: _t,
    condition: _c,
    received: _r,
    ...rest
  } = table;
  const { seal_kit: _s, ...cylinder } = isTable(rest.cylinder) ? rest.cylinder : {};
  return { ...rest, ...(Object.keys(cylinder).length === 0 ? {} : { cylinder }) };
}

/**
 * The job's table with the answers in it. What the base says beyond them stays; where an answer is the one that the base
 * gave, its table stays as it is.
 */
export function tableFrom(answers: Answers, base: JobTable): JobTable {
  const before = answersOf(base);
  const table = structuredClone(base) as Writable;
  for (const { key, path } of jobQuestions) {
    if (path === undefined || answers[key] === before[key]) continue;
    const asked = jobQuestions.some((one) => one.key === key && (one.when === undefined || one.when(answers)));
    put(table, path, asked ? answers[key] : undefined, key);
  }
  const cylinder = table.cylinder as Writable;
  if (answers.kind === 'telescopic') cylinder.bore = (answers.stage_bores ?? '').split(', ')[0];
  const [part = '', torque = '', tool = ''] = (answers.torque ?? '').split(', ');
  if (answers.torque) table.torque = [{ part, torque, tool }];
  table.port = portsFrom(answers, before, portTables(base));
  return inOrder(table);
}

function put(table: Writable, path: readonly string[], text: string | undefined, key: string): void {
  const [last = '', ...above] = [...path].reverse();
  let at = table;
  for (const name of above.reverse()) {
    const inner = isTable(at[name]) ? { ...at[name] } : {};
    at[name] = inner;
    at = inner;
  }
  if (text === undefined || text === '') delete at[last];
  else at[last] = key === 'stage_bores' || key === 'parts' ? text.split(', ') : text;
}

function portsFrom(answers: Answers, before: Answers, base: readonly JobTable[]): readonly JobTable[] {
  return (answers.ports ?? '').split(' and ').map((name) => {
    const port: Writable = { name, ...base.find((one) => one.name === name) };
    if (answers.position !== before.position || port.position === undefined) {
      const stand = answers.position ?? stands[0];
      port.position = stand === stands[2] ? 'mid-stroke restrained' : name === 'A' ? 'extended' : 'retracted';
      delete port.restrained;
      if (stand === stands[1]) port.restrained = true;
    }
    if (answers.opposite !== before.opposite || port.opposite === undefined)
      port.opposite = answers.kind === 'plunger' ? undefined : (answers.opposite ?? 'open');
    if (answers.kind === 'vessel') for (const key of ['position', 'opposite', 'restrained']) delete port[key];
    if (answers.line_volume !== before.line_volume) port.line_volume = answers.line_volume || undefined;
    return Object.fromEntries(Object.entries(port).filter(([, value]) => value !== undefined));
  });
}

/** Keys in the order of the questions, those that nobody is asked for after them. */
function inOrder(table: JobTable): JobTable {
  const places = jobQuestions.flatMap(({ path }) => (path === undefined ? [] : [path.join('.')]));
  const sorted = (of: JobTable, lead: string): JobTable => {
    const place = (key: string): number => {
      const at = places.findIndex((one) => one === `${lead}${key}` || one.startsWith(`${lead}${key}.`));
      return at < 0 ? places.length : at;
    };
    const keys = Object.keys(of).sort((a, b) => place(a) - place(b));
    return Object.fromEntries(
      keys.map((key) => [key, lead === '' && isTable(of[key]) ? sorted(of[key] as JobTable, `${key}.`) : of[key]]),
    );
  };
  return sorted(table, '');
}

/** The text of the job file. */
export const jobFileText = (table: JobTable): string => `${stringify(table).trim()}\n`;
