import { gaugeKeys, probeKeys } from './gauge-keys.js';
import type { KeyTexts } from './key-text.js';

const readHow: KeyTexts = {
  driver: {
    text: "How it is read: ascii-stream, ascii-poll, modbus-rtu, modbus-tcp, simulated, or the path of the shop's own module.",
  },
  line: {
    text: 'Settings of the driver: serial port, line settings, what a line looks like.',
    example: '{ path = "COM3", pattern = "{pressure} {unit}" }',
  },
  simulated: { text: 'No real oil behind it: tests made with it say so on every page.', example: 'true' },
};
const under = (table: string, keys: KeyTexts): KeyTexts =>
  Object.fromEntries(Object.entries(keys).map(([key, text]) => [`${table}.${key}`, text]));

export const shopKeys: KeyTexts = {
  name: { text: "The shop's name, printed on every paper." },
  address: { text: 'Address, printed; lines with \\n between.', example: '"1 Mill Lane\\nHarrow Fell"' },
  bench: { text: 'Name of this bench.', example: '"Bench 2"' },
  bench_check_days: { text: 'Days after which a bench check is out of date.', example: '30' },
  units: { text: 'Units to read and print.', example: '"bar"' },
  paper: { text: 'Paper of the certificates.', example: '"A4"' },
  language: { text: 'Language of the certificates.', example: '"en"' },
  database: { text: "The record's file, from the shop's folder." },
  keys: { text: "Folder of the shop's signing keys. Keep it under lock, outside of backups that others read." },
  series: { text: 'First letters of certificate numbers.', example: '"HF"' },
  logo: { text: 'Logo for the certificates: PNG, JPEG or SVG.', example: '"logo.png"' },
  archive: {
    text: 'PostgreSQL archive that several benches share.',
    example: '"postgres://bench2@archive.example/dwellmark"',
  },
  accent: { text: 'Colour of lines on the certificates.', example: '"#1f4e5f"' },
  signatures: { text: 'Which signatures a certificate needs.' },
  'signatures.required': {
    text: 'Meanings that must be signed before a certificate is issued.',
    example: '["performed", "reviewed and released"]',
  },
  'signatures.self_review': { text: 'Whoever ran the test may review it.', example: 'false' },
  'signatures.release_only_pass': { text: 'Only a pass can be released.', example: 'true' },
  certificate: { text: 'What a certificate needs beside a pass; without it the paper is a test report.' },
  'certificate.calibration_required': { text: 'A calibration that is stated and in force.', example: 'true' },
  'certificate.inspection_required': { text: 'An inspection of every leak point on the record.', example: 'true' },
  calibration: { text: 'What an unsound calibration does: stop, warn or note.' },
  'calibration.missing': { text: 'No calibration is entered.', example: '"warn"' },
  'calibration.out_of_date': { text: 'The calibration is past its due day.', example: '"stop"' },
  'calibration.not_covering': { text: 'The calibration does not cover the test pressure.', example: '"warn"' },
  'calibration.notice_days': { text: 'Days before the due day from which it is mentioned.', example: '30' },
  keymap: {
    text: 'More keys for the bench: one of a foot switch or a keypad, or the text of a card to scan, and what it does in the word of the key line.',
    example: '{ PageDown = "continue", "CARD-INSPECTED" = "inspected" }',
  },
  hooks: { text: 'What is told to other programs; `dwellmark help files` says how.' },
  'hooks.sealed': {
    text: 'Gets each sealed test as JSON: a command, by its stdin, or an https address, by POST.',
    example: '"https://erp.example/hold-tests"',
  },
  'hooks.issued': { text: 'Gets each issued paper in the same way.', example: '"python3 paper-issued.py"' },
  gauge: { text: 'A gauge; `dwellmark gauge add` enters it.' },
  ...under('gauge', { ...gaugeKeys, ...readHow }),
  probe: { text: 'An oil temperature probe.' },
  ...under('probe', { ...probeKeys, ...readHow }),
};
