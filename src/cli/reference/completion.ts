import type { CommandFacts, OptionFacts } from './command-tree.js';

export const shells = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof shells)[number];

/** A script that completes commands, options and their choices in a shell; operands and other values are files. */
export function completionScript(shell: Shell, tree: readonly CommandFacts[]): string {
  if (shell === 'fish') return fish(tree);
  return shell === 'bash' ? bash(tree) : zsh(tree);
}

const optionWords = ({ options }: CommandFacts): readonly string[] => options.flatMap(({ names }) => names);
const key = ({ words }: CommandFacts): string => words.join(' ');

/** One `case` for the words after a command, one for the values of an option. Bash and zsh read the same two. */
function cases(tree: readonly CommandFacts[]): string {
  const words = tree.map(
    (facts) => `      '${key(facts)}') words='${[...facts.below, ...optionWords(facts)].join(' ')}' ;;`,
  );
  const values = tree.flatMap((facts) =>
    facts.options
      .filter(({ takesValue }) => takesValue)
      .map(({ names, choices: all }) => {
        // Signs such as a quote are typed faster than completed.
        const choices = all.filter((choice) => /^\w[\w .-]*$/.test(choice));
        const asked = names.map((name) => `'${key(facts)} ${name}'`).join('|');
        return `      ${asked}) values='${choices.join('\n')}'; takes=1 ;;`;
      }),
  );
  return `    case "$at" in\n${words.join('\n')}\n    esac\n    case "$at $before" in\n${values.join('\n')}\n    esac`;
}

/** The commands that have commands below them: their next word belongs to the command's name. */
const parents = (tree: readonly CommandFacts[]): string =>
  tree
    .filter(({ below }) => below.length > 0)
    .flatMap((facts) => facts.below.map((below) => `'${[...facts.words, below].join(' ')}'`))
    .join('|');

const walk = (tree: readonly CommandFacts[]): string => `    local at='' word
    for word in "\${typed[@]}"; do
      case "\${at:+$at }$word" in ${parents(tree)}) at="\${at:+$at }$word" ;; esac
    done
    local words='' values='' takes=''
${cases(tree)}`;

const bash = (
  tree: readonly CommandFacts[],
): string => `# Completion of dwellmark for bash: eval "$(dwellmark completion bash)"
_dwellmark() {
    local current="\${COMP_WORDS[COMP_CWORD]}" before="\${COMP_WORDS[COMP_CWORD - 1]}"
    local typed=("\${COMP_WORDS[@]:1:COMP_CWORD - 1}")
${walk(tree)}
    local IFS=$'\\n'
    if [ -n "$takes" ]; then
      if [ -n "$values" ]; then COMPREPLY=($(compgen -W "$values" -- "$current")); else COMPREPLY=($(compgen -f -- "$current")); fi
    else
      IFS=$' \\n'
      COMPREPLY=($(compgen -W "$words" -- "$current"))
      [ \${#COMPREPLY[@]} -gt 0 ] || { IFS=$'\\n'; COMPREPLY=($(compgen -f -- "$current")); }
    fi
}
complete -o filenames -F _dwellmark dwellmark
`;

const zsh = (tree: readonly CommandFacts[]): string => `#compdef dwellmark
# Completion of dwellmark for zsh: eval "$(dwellmark completion zsh)"
_dwellmark() {
    local before="\${words[CURRENT - 1]}"
    local -a typed=("\${(@)words[2,CURRENT - 1]}")
    local -a given
    () {
${walk(tree)}
    if [ -n "$takes" ]; then given=(\${(f)values}); else given=(\${=words}); fi
    typeset -g dwellmark_takes="$takes"
    }
    if [ \${#given} -gt 0 ]; then compadd -- $given; fi
    if [ \${#given} -eq 0 ] || [ -z "$dwellmark_takes" ]; then _files; fi
}
compdef _dwellmark dwellmark
`;

function fish(tree: readonly CommandFacts[]): string {
  const quoted = (text: string): string => `'${text.replace(/[\\']/g, '\\$&')}'`;
  const rule = (facts: CommandFacts, rest: string): string =>
    `complete -c dwellmark -n ${quoted(`__dwellmark_at ${quoted(key(facts))}`)} ${rest}`;
  const option = ({ names, takesValue, choices, text }: OptionFacts): string => {
    const shown = names
      .map((name) => (name.startsWith('--') ? `-l ${name.slice(2)}` : `-s ${name.slice(1)}`))
      .join(' ');
    const value = !takesValue ? '' : choices.length > 0 ? ` -x -a ${quoted(choices.map(quoted).join(' '))}` : ' -r';
    return `${shown}${value} -d ${quoted(text)}`;
  };
  const lines = tree.flatMap((facts) => [
    ...facts.below.map((name) => {
      const text = tree.find(({ words }) => words.join(' ') === [...facts.words, name].join(' '))?.text ?? '';
      return rule(facts, `-a ${quoted(name)} -d ${quoted(text)}`);
    }),
    ...facts.options.map((each) => rule(facts, option(each))),
  ]);
  return `# Completion of dwellmark for fish: dwellmark completion fish | source
function __dwellmark_at
    set -l at ''
    for word in (commandline -opc)[2..-1]
        set -l longer (string trim "$at $word")
        if contains -- $longer ${parents(tree).replaceAll('|', ' ')}
            set at $longer
        end
    end
    test "$at" = "$argv[1]"
end
${lines.join('\n')}
`;
}
