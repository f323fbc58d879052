import Database from 'better-sqlite3';
import type { Command } from 'commander';
import { softwareVersion } from '../../bench/index.js';
import {
  isReference,
  isTopic,
  jsonSchema,
  referencePage,
  referenceTopics,
  setMarkdown,
  topicPage,
  topics,
} from '../../help/index.js';
import { DwellmarkError } from '../../units/index.js';
import { exitStatus } from '../exit-codes.js';
import { paint, say, sayJson, screenWidth } from '../output.js';
import { commandTree } from '../reference/command-tree.js';
import { completionScript, type Shell } from '../reference/completion.js';
import { manualPage } from '../reference/manual-page.js';

export interface HelpOptions {
  readonly schema?: boolean;
  readonly width?: number;
}

/** `dwellmark help`: a topic, the keys of a file, or a command. */
export function run(program: Command, words: readonly string[], options: HelpOptions): void {
  const [name = ''] = words;
  if (options.schema) {
    if (!isReference(name)) throw unknown(name, Object.keys(referenceTopics));
    return sayJson(jsonSchema(name));
  }
  if (words.length === 0) return listTopics();
  if (words.length === 1 && isTopic(name)) return set(topicPage(name), options);
  if (words.length === 1 && isReference(name)) return set(referencePage(name), options);
  let command = program;
  for (const word of words) {
    const below = command.commands.find((each) => each.name() === word);
    if (below === undefined) throw unknown(words.join(' '), [...Object.keys(topics), ...Object.keys(referenceTopics)]);
    command = below;
  }
  command.outputHelp();
}

function set(page: string, { width }: HelpOptions): void {
  const columns = width || Math.min(100, screenWidth(process.stdout));
  const style = { bold: (text: string) => paint(text, 'bold'), dim: (text: string) => paint(text, 'dim') };
  for (const line of setMarkdown(page, columns, style)) say(line);
}

function listTopics(): void {
  const rows = Object.entries<string>({ ...topics, ...referenceTopics });
  say('Read about: dwellmark help TOPIC');
  say();
  for (const [name, about] of rows) say(`  ${name.padEnd(16)} ${about}`);
  say();
  say('Or about a command: dwellmark help COMMAND. All commands: dwellmark --help');
}

const unknown = (name: string, known: readonly string[]): DwellmarkError =>
  new DwellmarkError('usage', name === '' ? 'say of which file' : `there is no topic or command "${name}"`, {
    advice: `Known: ${known.join(', ')}.`,
  });

/** `dwellmark completion`. */
export const completion = (program: Command, shell: Shell): void => {
  process.stdout.write(completionScript(shell, commandTree(program)));
};

/** `dwellmark man`. */
export const man = (program: Command): void => {
  process.stdout.write(manualPage(commandTree(program), softwareVersion, exitStatus.split('\n')));
};

/** `dwellmark version`. */
export function version({ json }: { readonly json?: boolean }): void {
  const db = new Database(':memory:');
  const sqlite = String(db.prepare('SELECT sqlite_version()').pluck().get());
  db.close();
  const versions = { dwellmark: softwareVersion, node: process.versions.node, sqlite };
  if (json) return sayJson({ ...versions, platform: process.platform, arch: process.arch });
  say(
    `dwellmark ${versions.dwellmark}, Node.js ${versions.node}, SQLite ${sqlite}, ${process.platform} ${process.arch}`,
  );
}
