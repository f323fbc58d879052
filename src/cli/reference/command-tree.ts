import type { Command } from 'commander';

/** An option as it is typed. */
export interface OptionFacts {
  /** `--output`, and `-o` where it has one. */
  readonly names: readonly string[];
  readonly takesValue: boolean;
  readonly choices: readonly string[];
  readonly text: string;
  /** As help writes it: `-o, --output <path>`. */
  readonly flags: string;
}

export interface CommandFacts {
  /** Words after `dwellmark`: `gauge add`; none for dwellmark itself. */
  readonly words: readonly string[];
  readonly text: string;
  /** As help writes them: `<job>`. */
  readonly operands: readonly string[];
  readonly options: readonly OptionFacts[];
  /** Names of the commands below it. */
  readonly below: readonly string[];
}

/** Every command with its options, the program itself first: what completions and the manual page are made of. */
export function commandTree(program: Command, words: readonly string[] = []): readonly CommandFacts[] {
  const own: CommandFacts = {
    words,
    text: program.description(),
    operands: program.registeredArguments.map((operand) => {
      const name = `${operand.name()}${operand.variadic ? '...' : ''}`;
      return operand.required ? `<${name}>` : `[${name}]`;
    }),
    options: program
      .createHelp()
      .visibleOptions(program)
      .map((option) => ({
        names: [option.short, option.long].filter((name) => name !== undefined),
        takesValue: option.required || option.optional,
        choices: option.argChoices ?? [],
        text: option.description,
        flags: option.flags,
      })),
    below: program.commands.map((below) => below.name()),
  };
  return [own, ...program.commands.flatMap((below) => commandTree(below, [...words, below.name()]))];
}
