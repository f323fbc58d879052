import { describe, expect, it } from 'vitest';
import { keyLines, keyName, type PathPart } from '../../src/procedure/reading/key-lines.js';

const text = `id = "x"              # 1
[limits]                        # 2
overpressure = "106 %"          # 3
note = """                      # 4
[stage]
id = "not a key"
"""                             # 7
[[stage]]                       # 8
name = "low"                    # 9
stabilise = { rate = "1" }      # 10
[[stage]]                       # 11
name = "proof # no comment"     # 12
allowed.drop = "2 %"            # 13
[stage.more]                    # 14
x = 1                           # 15
["odd key"]                     # 16
'a.b' = 2                       # 17
`;

describe('where a key stands', () => {
  const lineOf = keyLines(text);
  it.each<[PathPart[], number | undefined]>([
    [['id'], 1],
    [['limits'], 2],
    [['limits', 'overpressure'], 3],
    [['stage'], 8],
    [['stage', 0], 8],
    [['stage', 0, 'name'], 9],
    [['stage', 1, 'name'], 12],
    [['stage', 1, 'allowed', 'drop'], 13],
    [['stage', 1, 'more', 'x'], 15],
    [['odd key', 'a.b'], 17],
  ])('%j on line %s', (path, line) => expect(lineOf(path)).toBe(line));

  it('a key inside braces is found by the line they stand on', () =>
    expect(lineOf(['stage', 0, 'stabilise', 'rate'])).toBe(10));
  it('a missing key is found by the header it belongs under', () => expect(lineOf(['stage', 1, 'dwell'])).toBe(11));
  it('a key missing at the top has no line', () => expect(lineOf(['title'])).toBeUndefined());
  it('places are counted from one, as people count', () =>
    expect(keyName(['port', 0, 'position'])).toBe('port[1].position'));
});
