import type { KeyTexts } from './key-text.js';

const calibration: KeyTexts = {
  calibration: { text: 'Calibration in force; `dwellmark gauge calibrate` enters a new one.' },
  'calibration.certificate': { text: 'Number of the calibration certificate.' },
  'calibration.laboratory': { text: 'Laboratory that made it.', example: '"Fellside Calibration"' },
  'calibration.date': { text: 'Day of the calibration.' },
  'calibration.due': { text: 'Last day on which it is in force.' },
  'calibration.uncertainty': { text: 'Expanded uncertainty of the calibration (k = 2).' },
};

export const gaugeKeys: KeyTexts = {
  serial: { text: 'Serial of the gauge.' },
  maker: { text: 'Manufacturer.', example: '"Fellside Gauges"' },
  model: { text: 'Model.', example: '"FG 400"' },
  range: { text: 'Range, in the unit printed on the gauge.' },
  resolution: { text: 'One step of the last digit, in the same unit; at most a tenth of the range.' },
  accuracy: { text: 'Accuracy: percent of full scale, a class (EN 837-1), or a pressure; at most 10 % of the range.' },
  stability: { text: 'How far the reading may wander over a dwell with the pressure held constant.' },
  unit: { text: 'Unit that the gauge shows.', usual: 'that of the range' },
  ...calibration,
  'calibration.covers': { text: 'Range that the calibration covers.', usual: 'the span of its points' },
  'calibration.accuracy': { text: 'Largest error that the laboratory found or allowed.' },
  'calibration.as_found': { text: 'Points as found, before adjustment.' },
  'calibration.as_found.reference': { text: 'Pressure of the reference.' },
  'calibration.as_found.shown': { text: 'Reading of the gauge.' },
  'calibration.as_left': { text: 'Points as left, after adjustment.' },
  'calibration.as_left.reference': { text: 'Pressure of the reference.' },
  'calibration.as_left.shown': { text: 'Reading of the gauge.' },
  'calibration.corrections': { text: 'Corrections applied to levels, never to drops.' },
  'calibration.corrections.at': { text: 'Reading at which the correction holds.' },
  'calibration.corrections.add': { text: 'Pressure to add to the reading.' },
};

export const probeKeys: KeyTexts = {
  serial: { text: 'Serial of the oil temperature probe.' },
  maker: { text: 'Manufacturer.', example: '"Fellside Gauges"' },
  model: { text: 'Model.', example: '"OT"' },
  range: { text: 'Range of temperatures.' },
  resolution: { text: 'One step of the last digit.' },
  accuracy: { text: 'Accuracy.' },
  ...calibration,
};
