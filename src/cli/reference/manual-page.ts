import type { CommandFacts } from './command-tree.js';

const escaped = (text: string): string =>
  text
    .replace(/\\/g, '\\e')
    .replace(/-/g, '\\-')
    .replace(/^([.'])/gm, '\\&$1');

/**
 * The manual page, section 1, made of what help says.
 * @param after what help says below its commands: exit codes.
 */
export function manualPage(tree: readonly CommandFacts[], version: string, after: readonly string[]): string {
  const [program, ...commands] = tree;
  const lines = [
    `.TH DWELLMARK 1 "" "dwellmark ${version}" "Hold tests of hydraulic cylinders"`,
    '.SH NAME',
    `dwellmark \\- ${escaped(program?.text.toLowerCase().replace(/\.$/, '') ?? '')}`,
    '.SH SYNOPSIS',
    '.B dwellmark',
    '.I command',
    '[\\fIoptions\\fR]',
    '.SH COMMANDS',
    ...commands.filter(({ below }) => below.length === 0).flatMap(commandLines),
    '.SH EXIT STATUS',
    ...after.map(escaped),
    '.SH ENVIRONMENT',
    '.TP',
    '.B DWELLMARK_SHOP',
    "the shop's folder",
    '.TP',
    '.B NO_COLOR, FORCE_COLOR',
    'no colour; colour also where the output is no terminal',
    '.TP',
    '.B PAGER',
    'what pages a long record in the terminal',
  ];
  return `${lines.join('\n')}\n`;
}

const commandLines = ({ words, operands, text, options }: CommandFacts): readonly string[] => [
  '.TP',
  `.B dwellmark ${escaped([...words, ...operands].join(' '))}`,
  escaped(text),
  ...(options.length === 0 ? [] : ['.RS']),
  ...options.flatMap((option) => ['.TP', `.B ${escaped(option.flags)}`, escaped(option.text)]),
  ...(options.length === 0 ? [] : ['.RE']),
];
