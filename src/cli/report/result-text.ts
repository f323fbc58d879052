import { judgedDrop, type PortResult, type StageResult, type TestResult } from '../../evaluation/index.js';
import { formatIn, pressureDecimals, shownUnit, spell, spellDuration, type UnitSystem } from '../../units/index.js';
import { verdictWord } from './verdict-words.js';

/** A test's outcome in lines for a person, in their units. */
export function resultLines(result: TestResult, system: UnitSystem): string[] {
  return [
    ...result.ports.flatMap((port) => [...portLines(port, system), '']),
    `Verdict: ${verdictWord(result.verdict)}`,
  ];
}

function portLines(port: PortResult, system: UnitSystem): string[] {
  const attempt = port.attempt > 1 ? `, attempt ${port.attempt}` : '';
  const lines = [
    `Port ${port.port} (${port.position === 'no piston' ? 'vessel' : `${port.position}, other port ${port.opposite}`}${attempt}): ${verdictWord(port.verdict)}`,
  ];
  lines.push(...wrapped(spell(port.reason, system), 2));
  for (const stage of port.stages) lines.push(...stageLines(stage, system));
  for (const seen of port.observations)
    lines.push(`  seen at the ${seen.point}: ${seen.amount}${seen.drops === undefined ? '' : `, ${seen.drops} drops`}`);
  if (port.collected) {
    const { volumeM3, overS, leakM3PerS, text } = port.collected;
    const amount = volumeM3 === undefined ? '' : `{volume:${volumeM3}} in {seconds:${overS}}, `;
    const beside = text === undefined ? '' : `; ${text}`;
    lines.push(...wrapped(spell(`collected: ${amount}{flow:${leakM3PerS}}${beside}`, system), 2));
  }
  if (port.stiffness.text !== '') lines.push(...wrapped(`stiffness: ${spell(port.stiffness.text, system)}`, 2));
  if (port.breakAway) {
    const { text, deviation } = port.breakAway;
    lines.push(...wrapped(`strokes: ${spell(text, system)}`, 2));
    if (deviation !== null) lines.push(...wrapped(`departs from the procedure: ${spell(deviation, system)}`, 2));
  }
  if (port.covers.length > 0) lines.push(...wrapped(`covers: ${port.covers.join(', ')}`, 2));
  if (port.notCovered.length > 0) lines.push(...wrapped(`says nothing about: ${port.notCovered.join(', ')}`, 2));
  return lines;
}

function stageLines(stage: StageResult, system: UnitSystem): string[] {
  const level = (pa: number | null) =>
    pa === null ? 'n/a' : formatIn(pa, 'pressure', system.pressure, pressureDecimals(system.pressure));
  const difference = (pa: number | null) => (pa === null ? 'n/a' : spell(`{difference:${pa}}`, system));
  const pair: Pair = (mark, si, u) => {
    const [figure, band] = [si, u].map((one) => (one === null ? 'n/a' : `{${mark}:${one}}`));
    return spell(`${figure} ± ${band}`, system);
  };
  const unit = shownUnit(system.pressure);
  const lines = [`  ${stage.name}, ${level(stage.targetPa)} ${unit}: ${verdictWord(stage.verdict)}`];
  if (stage.dropPa === null || stage.dwellS === null) return lines;
  const allowed =
    stage.allowedDropPa === null
      ? ', none allowed or forbidden: judged by looking'
      : ` of ${difference(stage.allowedDropPa)} allowed, decided ${stage.decision}`;
  lines.push(
    `    ${level(stage.startPa)} to ${level(stage.endPa)} ${unit} in ${spellDuration(stage.dwellS)} (level ± ${difference(stage.levelUncertaintyPa)}, ${stage.readings} readings)`,
    ...wrapped(`drop ${dropText(stage, pair)}${allowed}; resolves ${difference(stage.smallestResolvableDropPa)}`, 4),
    `    leak ${pair('flow', stage.leakM3PerS, stage.leakUncertaintyM3PerS)}${driftText(stage)}`,
  );
  if (stage.judged !== undefined) lines.push(...accountLines(stage, difference));
  if (stage.temperatureCorrected && stage.thermalDropPa !== null)
    lines.push(`    of the raw fall, ${difference(stage.thermalDropPa)} is the oil's temperature, taken out`);
  else if (stage.temperatureToExplainK !== null)
    lines.push(
      ...wrapped(
        spell(
          `oil temperature not measured: cooling by {kelvin:${stage.temperatureToExplainK}} would explain the whole drop`,
          system,
        ),
        4,
      ),
    );
  const { diagnosis } = stage;
  if (diagnosis && diagnosis.shape !== 'none') {
    lines.push(...wrapped(spell(`shape ${diagnosis.shape}: ${diagnosis.likely.join('; ')}`, system), 4));
    if (diagnosis.tryNext.length > 0 && stage.verdict !== 'pass')
      lines.push(...wrapped(spell(`try: ${diagnosis.tryNext.join('; ')}`, system), 4));
  }
  for (const flag of stage.flags) lines.push(...wrapped(`note: ${spell(flag.text, system)}`, 4));
  return lines.map((line) => spell(line, system));
}

/** What was observed, what of it is heat and creep, and what was judged. */
function accountLines(
  { judged, plainDropPa, settlingDropPa }: StageResult,
  difference: (pa: number | null) => string,
): string[] {
  const settling =
    settlingDropPa == null ? '' : `, of which heat of compression and creep ${difference(settlingDropPa)}`;
  return [
    ...wrapped(`pressure drop, observed ${difference(plainDropPa ?? null)}${settling}`, 4),
    `    judged: ${judged === 'leak' ? 'loss by leaks' : 'plain drop'}`,
  ];
}

/** The leak found as the rod would show it. */
export const driftText = ({ rodDriftM }: StageResult): string =>
  rodDriftM === undefined ? '' : `, {length:${rodDriftM}} of rod drift in 10 min`;

type Pair = (mark: 'difference' | 'flow', si: number | null, u: number | null) => string;

/** The drop that is judged; before it that of the whole dwell, where this went on for longer. */
function dropText(stage: StageResult, pair: Pair): string {
  const whole = pair('difference', stage.dropPa, stage.dropUncertaintyPa);
  const judged = judgedDrop(stage);
  if (!judged?.scaled) return whole;
  return `${whole}; over the demanded ${spellDuration(judged.overS)} ${pair('difference', judged.dropPa, judged.uncertaintyPa)}`;
}

/** Lines of at most 80 columns, indented; following lines two further. */
export function wrapped(text: string, indent: number, width = 80): string[] {
  const lines: string[] = [];
  let line = ' '.repeat(indent);
  for (const word of text.split(' ')) {
    if (line.length + word.length + 1 > width && line.trim() !== '') {
      lines.push(line);
      line = ' '.repeat(indent + 2);
    }
    line += line.trim() === '' ? word : ` ${word}`;
  }
  return [...lines, line];
}
