import type { KeyTexts } from './key-text.js';

const register: KeyTexts = {
  register: { text: 'Number of the first register.', example: '2' },
  type: { text: 'Type of the value.', example: '"float32"' },
  word_order: { text: 'Order of the bytes.', example: '"CDAB"' },
  scale: { text: 'The value is the number times this.', example: '0.1' },
  no_value_numbers: { text: 'Numbers that stand for no value, before the scale.', example: '[32767]' },
};
const value = (name: string, text: string): KeyTexts => ({
  [name]: { text },
  ...Object.fromEntries(Object.entries(register).map(([key, entry]) => [`${name}.${key}`, entry])),
});

/** Keys of [gauge.line] for gauges on a serial line. */
export const lineKeys: KeyTexts = {
  path: {
    text: 'Serial port: COM3, /dev/cu.usbserial-1, or better /dev/serial/by-id/..., which does not move. With modbus-tcp host and port of the gateway: 192.168.1.50:502.',
    example: '"COM3"',
  },
  baud_rate: { text: 'Baud rate.', example: '9600' },
  data_bits: { text: 'Data bits.', example: '8' },
  parity: { text: 'Parity.', example: '"none"' },
  stop_bits: { text: 'Stop bits.', example: '1' },
  pattern: {
    text: 'What a line looks like: {pressure}, {unit}, {oil}, {status}, {checksum}, {elapsed}.',
    example: '"{pressure} {unit}"',
  },
  unit: { text: 'Unit of the pressure, where the line has none.', example: '"bar"' },
  oil_unit: { text: 'Unit of the oil temperature, where the line has none.', example: '"C"' },
  decimal: { text: 'Decimal sign.', usual: '"."', example: '","' },
  thousands: { text: 'Sign between thousands in numbers, where the gauge sends one.', example: '","' },
  checksum_skips: {
    text: "Signs that the checksum does not cover: at the line's start, and right before the checksum.",
    example: '[1, 0]',
  },
  checksum: { text: 'Kind of the checksum in the line.', usual: 'none', example: '"xor"' },
  status: { text: 'Words of the gauge and what each means.', example: '{ OL = "over" }' },
  no_value_numbers: { text: 'Numbers that stand for no value.', example: '[9999]' },
  terminator: { text: 'End of a line.', example: '"\\r"' },
  max_line_bytes: { text: 'Longest line in bytes; a longer one counts as bad.', example: '512' },
  serial: {
    text: 'Serial that the line must carry; a line with another is from another device.',
    example: '"SN 40117"',
  },
  maker: { text: 'Manufacturer.', example: '"Fellside Gauges"' },
  model: { text: 'Model.', example: '"FG 400"' },
  rate_per_s: { text: 'Readings per second.', example: '10' },
  request: { text: 'What is sent to get a reading, with its end (ascii-poll).', example: '"#{address}RD\\r"' },
  address: {
    text: 'Stands for {address} (ascii-poll); the address of the device, 1 to 247 (modbus-rtu), 0 to 255 (modbus-tcp).',
    example: '"01"',
  },
  request_checksum: { text: 'Kind of the checksum in the request (ascii-poll).', example: '"xor"' },
  timeout_ms: { text: 'Longest time to wait for an answer, in milliseconds.', example: '500' },
  function: { text: '3 reads holding registers, 4 input registers (modbus-rtu).', example: '4' },
  first_register: { text: '1 where the manual counts registers from 1 (modbus-rtu).', example: '1' },
  ...value('pressure', 'Where the pressure stands (modbus-rtu).'),
  ...value('opposite', 'Where the pressure of the other port stands (modbus-rtu).'),
  ...value('oil', 'Where the oil temperature stands (modbus-rtu).'),
  'status.register': { text: 'Register that says how the device is (modbus-rtu).', example: '10' },
  'status.good': { text: 'Numbers that mean well.', example: '[0]' },
  unit_code: { text: 'Register that says which unit is set on the device (modbus-rtu).' },
  'unit_code.register': { text: 'Its number.', example: '11' },
  'unit_code.is': { text: 'The number of the right unit.', example: '1' },
  ...value('serial_number', 'Where the serial of the device stands (modbus-rtu).'),
};
