import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { buildProgram } from '../../src/cli/program.js';
import { commandTree } from '../../src/cli/reference/command-tree.js';
import { completionScript, shells } from '../../src/cli/reference/completion.js';
import { manualPage } from '../../src/cli/reference/manual-page.js';
import { jsonSchema, referencePage, topicPage, topics } from '../../src/help/index.js';
import { keyFacts } from '../../src/help/key-facts.js';
import { type ReferenceName, references } from '../../src/help/references.js';

const names = Object.keys(references) as ReferenceName[];

/** Keys of a schema, looked for by another way than the reference's: in its JSON schema. */
function keysInJson(node: unknown, before = ''): string[] {
  if (typeof node !== 'object' || node === null) return [];
  const { properties, items, anyOf } = node as Record<string, unknown>;
  const inner = [items, ...(Array.isArray(anyOf) ? anyOf : [])].flatMap((each) => keysInJson(each, before));
  const own = Object.entries((properties ?? {}) as object).flatMap(([name, field]) => [
    `${before}${name}`,
    ...(before === '' && name === 'gauge' && 'anyOf' in field ? [] : keysInJson(field, `${before}${name}.`)),
  ]);
  return [...new Set([...own, ...inner])];
}

describe('the reference of files', () => {
  it.each(names)('%s tells of every key, with what it is, its default and an example', (name) => {
    const page = referencePage(name);
    const told = [...page.matchAll(/^- \*\*([\w.]+)\*\*: \S.*\n {2}(.+)\.$/gm)];
    expect(told.map((entry) => entry[1]).sort()).toEqual(keysInJson(jsonSchema(name)).sort());
    for (const [, key, facts = ''] of told) {
      expect(facts, key).toMatch(/; (?:required|optional|default: .+)(?:; |$)/);
      if (!facts.includes('table')) expect(facts, key).toContain('example: ');
    }
  });

  it('`help --schema` names each file that it knows, and no other', () => {
    const option = buildProgram()
      .commands.find((command) => command.name() === 'help')
      ?.options.find(({ long }) => long === '--schema');
    expect(option?.description.match(/[a-z]+-[a-z]+/g)).toEqual(names);
  });

  it('does not know a key without a text, nor a text without a key', () => {
    const schema = z.strictObject({ told: z.string(), silent: z.string() });
    const text = { text: 'A text.', example: '"x"' };
    expect(() => keyFacts(schema, { told: text })).toThrow('"silent" is not in the reference');
    expect(() => keyFacts(schema, { told: text, silent: text, gone: text })).toThrow('not there: gone');
    expect(() => keyFacts(schema, { told: text, silent: { text: 'A text.' } })).toThrow('"silent" has no example');
  });
});

/** Every `-x` and `--long` that the help of a command names, read from its text. */
function optionsInHelp(command: Command, words: readonly string[] = []): { words: readonly string[]; name: string }[] {
  const rows = command.helpInformation().split('\n');
  const own = rows.flatMap(
    (row) => /^ {2}(-\S.*?)(?: {2}|$)/.exec(row)?.[1]?.match(/(?<![\w-])--?[a-z][a-z-]*/g) ?? [],
  );
  return [
    ...own.map((name) => ({ words, name })),
    ...command.commands.flatMap((below) => optionsInHelp(below, [...words, below.name()])),
  ];
}

describe('completions and the manual page', () => {
  const program = buildProgram();
  const tree = commandTree(program);
  const asked = optionsInHelp(program);

  it('there are options to complete', () => {
    expect(asked.length).toBeGreaterThan(150);
  });

  it.each(shells)('%s completes every option of every command', (shell) => {
    const script = completionScript(shell, tree);
    const missing = asked.filter(({ words, name }) => {
      const at = words.join(' ');
      if (shell !== 'fish') {
        const line = script.split('\n').find((each) => each.trim().startsWith(`'${at}') words='`)) ?? '';
        return !line.split(/[ ']+/).includes(name);
      }
      const flag = name.startsWith('--') ? `-l ${name.slice(2)}` : `-s ${name.slice(1)}`;
      const rules = script.split('\n').filter((line) => line.includes(`__dwellmark_at \\'${at}\\'`));
      return !rules.some((line) => `${line} `.includes(` ${flag} `));
    });
    expect(missing).toEqual([]);
  });

  it('the manual page has every command and option', () => {
    const page = manualPage(tree, '1.0', ['0 done']).replaceAll('\\-', '-');
    expect(asked.filter(({ words, name }) => words.length > 0 && !page.includes(name))).toEqual([]);
  });

  it('an option that is added is found by this test', () => {
    const other = new Command('x').option('--new-one <n>', 'new');
    expect(optionsInHelp(other).map(({ name }) => name)).toContain('--new-one');
  });
});

describe('help topics', () => {
  const tree = commandTree(buildProgram());

  it.each(Object.keys(topics))('%s names only commands and options that there are', (name) => {
    const page = topicPage(name as keyof typeof topics);
    const typed = [...page.matchAll(/(?:^ {4}|`)dwellmark ((?:[^`\n])*)/gm)].map((match) => match[1] ?? '');
    for (const line of typed) {
      const parts = line.split(/\s+/);
      const found = tree.filter(({ words }) => words.every((word, index) => parts[index] === word)).at(-1);
      const long = parts.filter((part) => /^--[a-z]/.test(part));
      const known = [...(found?.options ?? []), ...(tree[0]?.options ?? [])].flatMap((option) => option.names);
      expect(found?.words.length === 0 && !parts[0]?.startsWith('--') ? line : '', page.slice(0, 20)).toBe('');
      expect(
        long.filter((option) => !known.includes(option)),
        line,
      ).toEqual([]);
    }
  });
});
