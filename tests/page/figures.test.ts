import { describe, expect, it } from 'vitest';
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
