import { appendFileSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { createInterface } from 'node:readline';
import {
  createSimulatedGauge,
  type DemoScenario,
  jobText,
  type LineShape,
  ModbusDevice,
  modbusMap,
  openPtyPair,
  type PtyPair,
  procedureId,
  procedureText,
  type SimulatedGauge,
  scenarios,
  speak,
} from '../../../drivers/simulated/index.js';
import { shopFileName } from '../../bench/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { commandName, remark, say, sayJson } from '../output.js';
import { PracticeHand } from '../practice-hand.js';
import { makeShop } from '../shop/found-shop.js';

export interface SimulateOptions extends CommonOptions {
  readonly output: string;
  readonly seed: number;
  readonly speak: 'text' | 'modbus';
  /** Of each hold, s; the scenario's own when absent. */
  readonly dwell?: number;
}

/**
 * `dwellmark gauge simulate`: a practice bench. A simulated gauge speaks on a pseudo-terminal as one on a cable would;
 * the Enter key in this terminal works the valves, and `dwellmark test` runs in another.
 */
export async function run(id: string, options: SimulateOptions): Promise<void> {
  const known = scenarios.find((one) => one.id === id);
  if (!known)
    throw new DwellmarkError('usage', `there is no scenario "${id}"`, {
      advice: `Known: ${scenarios.map((one) => `${one.id} (${one.title})`).join('; ')}.`,
    });
  const scenario = options.dwell === undefined ? known : { ...known, hold: { ...known.hold, dwellS: options.dwell } };
  const folder = path.resolve(options.output);
  const port = path.join(folder, 'gauge-port');
  const isNew = !existsSync(path.join(folder, shopFileName));
  if (isNew) await makePracticeShop(folder, scenario);
  const job = layPractice(folder, port, scenario, options.speak);
  const pty = await openPtyPair();
  rmSync(port, { force: true });
  symlinkSync(pty.path, port);
  const gauge = createSimulatedGauge({
    ports: scenario.ports,
    instrument: scenario.instrument,
    seed: options.seed,
    ratePerS: scenario.ratePerS,
    speed: 1,
    attended: true,
  });
  await gauge.open();
  const tell = options.json ? remark : say;
  if (options.json) sayJson({ scenario: scenario.id, path: pty.path, link: port, shop: folder, job });
  tell(`${scenario.title}: its gauge speaks on ${pty.path}.`);
  tell('In another terminal:');
  tell(
    `  ${commandName} test ${path.relative(process.cwd(), job)} --shop ${path.relative(process.cwd(), folder) || '.'}`,
  );
  if (isNew) tell(`The inspector "qa" signs there with the passphrase: ${practicePassphrase}`);
  tell('Here, Enter works the valves, as your hand would; Ctrl-C ends it.');
  const hand = handOn(gauge, scenario, tell);
  try {
    if (options.speak === 'modbus') await answer(gauge, pty, scenario);
    else await speak(gauge.items(), pty, { shape: shapeOf(scenario), baud: 9600 });
  } finally {
    hand.close();
    pty.close();
    rmSync(port, { force: true });
  }
}

/** It is printed: in the practice shop it guards nothing. */
const practicePassphrase = 'only for the practice bench';

/** Address of the practice gauge on Modbus. */
const practiceAddress = 1;

/** The gauge keeps quiet and answers on Modbus what its display shows. */
async function answer(gauge: SimulatedGauge, pty: PtyPair, { units }: DemoScenario): Promise<void> {
  const device = new ModbusDevice(pty, { address: practiceAddress, unit: units });
  for await (const item of gauge.items()) if (item.kind === 'reading') device.show(item.reading);
}

/** The Enter key of this terminal works the valves. */
function handOn(gauge: SimulatedGauge, scenario: DemoScenario, tell: (line: string) => void): { close(): void } {
  const hand = new PracticeHand((['A', 'B'] as const).filter((name) => scenario.ports[name] !== undefined));
  tell(`  now: no pressure; ${hand.next} (A or B before Enter picks the port)`);
  const keyboard = createInterface({ input: process.stdin });
  keyboard.on('line', (typed) => {
    const { says, command } = hand.enter(gauge.hand, typed);
    tell(`  ${says}`);
    if (command) gauge.operate(command);
  });
  keyboard.on('SIGINT', () => void gauge.close());
  // A closed terminal is nobody's hand; without one, another program may go on reading the gauge.
  if (process.stdin.isTTY) keyboard.on('close', () => void gauge.close());
  process.once('SIGINT', () => void gauge.close());
  return keyboard;
}

const shapeOf = ({ units }: DemoScenario): LineShape => ({
  unit: units,
  decimals: units === 'bar' ? 1 : 0,
  width: 7,
  oilDecimals: 2,
  terminator: '\r\n',
});

const modbusLine = `address = ${practiceAddress}
pressure = { register = ${modbusMap.pressure} }
oil = { register = ${modbusMap.oil}, type = "int16", scale = 0.1, no_value_numbers = [-32768] }
status = { register = ${modbusMap.status}, good = [0] }`;

/** A shop for practice, whose inspector signs with a passphrase that is printed. */
async function makePracticeShop(folder: string, { units }: DemoScenario): Promise<void> {
  const facts = {
    name: 'Harrow Fell Hydraulics, practice bench',
    address: '4 Sluice Lane, Harrow Fell',
    units,
    paper: 'A4',
    series: 'P',
  };
  const person = { name: 'Practice inspector', passphrase: practicePassphrase };
  await makeShop(folder, facts, { administrator: person, inspector: person });
}

/** Gauge, procedure and job; the gauge's table names a link, because the pseudo-terminal is another each time. */
function layPractice(folder: string, port: string, scenario: DemoScenario, how: SimulateOptions['speak']): string {
  const { pressure, serial = 'practice' } = scenario.instrument;
  const shopFile = path.join(folder, shopFileName);
  if (!readFileSync(shopFile, 'utf8').includes(`serial = "${serial}"`))
    appendFileSync(
      shopFile,
      `
[[gauge]]
serial = "${serial}"
range = "${scenario.units === 'bar' ? '0..400 bar' : '0..10000 psi'}"
resolution = "${pressure.resolution} ${pressure.unit}"
accuracy = "0.1 %FS"
driver = "${how === 'modbus' ? 'modbus-rtu' : 'ascii-stream'}"
simulated = true
[gauge.line]
path = "${port}"
unit = "${pressure.unit}"
rate_per_s = ${scenario.ratePerS}
${how === 'modbus' ? modbusLine : 'pattern = "{pressure} {unit} {oil} C"'}
`,
    );
  for (const dir of ['jobs', 'templates']) mkdirSync(path.join(folder, dir), { recursive: true });
  writeFileSync(path.join(folder, 'templates', `${procedureId(scenario)}.toml`), procedureText(scenario));
  const job = path.join(folder, 'jobs', `${scenario.id}.toml`);
  writeFileSync(job, jobText(scenario, { on: new Date().toISOString().slice(0, 10) }));
  return job;
}
