import { describe, expect, it } from 'vitest';
import { canonicalJson, sha256Hex } from '../../src/record/index.js';

/** The sample of RFC 8785, 3.2.2, as it stands there. */
const sample = String.raw`{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}`;

/** RFC 8785, 3.2.3: its canonical form. */
const canonical = String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`;

/** RFC 8785, appendix B: IEEE 754 bits and how the number is written. */
const numbers: readonly [string, string][] = [
  ['0000000000000000', '0'],
  ['8000000000000000', '0'],
  ['0000000000000001', '5e-324'],
  ['8000000000000001', '-5e-324'],
  ['7fefffffffffffff', '1.7976931348623157e+308'],
  ['ffefffffffffffff', '-1.7976931348623157e+308'],
  ['4340000000000000', '9007199254740992'],
  ['c340000000000000', '-9007199254740992'],
  ['4430000000000000', '295147905179352830000'],
  ['44b52d02c7e14af5', '9.999999999999997e+22'],
  ['44b52d02c7e14af6', '1e+23'],
  ['44b52d02c7e14af7', '1.0000000000000001e+23'],
  ['444b1ae4d6e2ef4e', '999999999999999700000'],
  ['444b1ae4d6e2ef4f', '999999999999999900000'],
  ['444b1ae4d6e2ef50', '1e+21'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
  ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'],
  ['41b3de4355555554', '333333333.33333325'],
  ['41b3de4355555555', '333333333.3333333'],
  ['41b3de4355555556', '333333333.3333334'],
  ['41b3de4355555557', '333333333.33333343'],
  ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
];

/** RFC 8785, 3.2.3: keys are sorted by UTF-16 code units. */
const keys = {
  '\u20ac': 'Euro Sign',
  '\r': 'Carriage Return',
  '\ufb33': 'Hebrew Letter Dalet With Dagesh',
  '1': 'One',
  '\ud83d\ude00': 'Emoji: Grinning Face',
  '\u0080': 'Control',
  '\u00f6': 'Latin Small Letter O With Diaeresis',
};

describe('canonical JSON against RFC 8785', () => {
  it('the sample of 3.2.2 has the form of 3.2.3, whose SHA-256 starts 2d5e01a3', () => {
    expect(canonicalJson(JSON.parse(sample))).toBe(canonical);
    expect(sha256Hex(canonical).slice(0, 8)).toBe('2d5e01a3');
  });

  it.each(numbers)('%s is written %s', (bits, text) => {
    expect(canonicalJson(Buffer.from(bits, 'hex').readDoubleBE())).toBe(text);
  });

  it.each(['7fffffffffffffff', '7ff0000000000000'])('%s, no number or infinite, is refused', (bits) => {
    expect(() => canonicalJson(Buffer.from(bits, 'hex').readDoubleBE())).toThrow();
  });

  it('keys come in the order of 3.2.3', () => {
    expect(Object.values(JSON.parse(canonicalJson(keys)) as object).filter((_, index) => index > 0)).toEqual(
      ['Carriage Return', 'Control', 'Latin', 'Euro', 'Emoji', 'Hebrew'].map((start) =>
        Object.values(keys).find((name) => name.startsWith(start)),
      ),
    );
    expect(canonicalJson(keys).startsWith('{"\\r":')).toBe(true);
  });

  it('half a surrogate pair is refused; a backslash before "ud800" is a text like any other', () => {
    expect(() => canonicalJson({ text: '\ud800' })).toThrow('Lone surrogate');
    expect(() => canonicalJson({ '\udead': 1 })).toThrow('Lone surrogate');
    expect(canonicalJson('\\ud800')).toBe(String.raw`"\\ud800"`);
  });
});
