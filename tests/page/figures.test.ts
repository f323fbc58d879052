import { describe, expect, it } from 'vitest';
import { agreement } from '../../src/audit/index.js';
import { base64Bytes, bytesText, hexBytes, hexOf, textBytes } from '../../src/record/index.js';

describe('bytes and texts, alike under Node and in a browser', () => {
  // The vectors of RFC 4648, section 10.
  it.each([
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foob', 'Zm9vYg=='],
    ['fooba', 'Zm9vYmE='],
    ['foobar', 'Zm9vYmFy'],
  ])('%j is %j in base64', (text, base64) => {
    expect(bytesText(base64Bytes(base64) ?? textBytes('none'))).toBe(text);
  });

  it.each(['Zg', 'Zg=', 'Zh==', 'Zm9=', 'Zm9v\n', 'Z-9v', '====', 'Zg==Zg=='])('%j is none', (text) => {
    expect(base64Bytes(text)).toBeNull();
  });

  it('hex goes there and back', () => {
    expect(hexOf(hexBytes('00ff10'))).toBe('00ff10');
  });
});

describe('two results judged by different arithmetic', () => {
  const result = {
    verdict: 'pass',
    dropPa: 3034.122784172919,
    reason: 'fell {difference:3034.122784172919}',
    flags: [],
  };

  it('agree in every figure to six digits', () => {
    expect(agreement(result, { ...result })).toBe('identical');
    expect(agreement(result, { ...result, dropPa: 3034.12278418, reason: 'fell {difference:3034.12278418}' })).toBe(
      'nearly',
    );
  });

  it.each([
    { verdict: 'fail' },
    { dropPa: 3034.2 },
    { dropPa: null },
    { reason: 'rose {difference:3034.122784172919}' },
    { reason: 'fell {difference:3035}' },
    { flags: ['rising'] },
  ])('differ by %j', (change) => {
    expect(agreement(result, { ...result, ...change })).toBe('different');
  });
});
