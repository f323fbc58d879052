export type ChecksumKind = 'none' | 'sum' | 'twos-complement' | 'xor' | 'crc16';

/**
 * CRC-16 of the Modbus serial line: reflected polynomial 0xA001, start 0xFFFF (MODBUS over serial line V1.02, 6.2.2).
 * The low byte goes first on the wire.
 * @example crc16Modbus(new TextEncoder().encode('123456789')) // 0x4b37
 */
export function crc16Modbus(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) crc = (crc >> 8) ^ (crcTable[(crc ^ byte) & 0xff] ?? 0);
  return crc;
}

const crcTable: Uint16Array = Uint16Array.from({ length: 256 }, (_, index) => {
  let crc = index;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  return crc;
});

/**
 * The checksum of a line as a number: the sum of its bytes modulo 256, its two's complement, their exclusive or, or
 * CRC-16. `none` is 0.
 * @example checksumOf('xor', new TextEncoder().encode('01+0253.7')) // 0x37
 */
export function checksumOf(kind: ChecksumKind, bytes: Uint8Array): number {
  switch (kind) {
    case 'none':
      return 0;
    case 'sum':
      return bytes.reduce((sum, byte) => (sum + byte) & 0xff, 0);
    case 'twos-complement':
      return -checksumOf('sum', bytes) & 0xff;
    case 'xor':
      return bytes.reduce((mixed, byte) => mixed ^ byte, 0);
    case 'crc16':
      return crc16Modbus(bytes);
  }
}

/** The checksum as upper-case hexadecimal digits, as it stands at the end of a line: two, or four for CRC-16. */
export function checksumText(kind: ChecksumKind, bytes: Uint8Array): string {
  if (kind === 'none') return '';
  return checksumOf(kind, bytes)
    .toString(16)
    .toUpperCase()
    .padStart(kind === 'crc16' ? 4 : 2, '0');
}
