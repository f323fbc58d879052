/**
 * Colours and dash patterns of the charts. Every line differs in its pattern too, so that the chart reads in black
 * and white; the colours are told apart with any common kind of colour blindness (blue, vermilion, greys).
 */
export const chartStyle = {
  font: 'IBM Plex Sans',
  fontSize: 6.5,
  ink: '#1b1f24',
  quiet: '#5b626b',
  hairline: '#d5d9de',
  pressure: { colour: '#0b3c6f', width: 0.9, dash: [] as number[] },
  opposite: { colour: '#7a7f87', width: 0.7, dash: [1.2, 1.6] },
  target: { colour: '#1b1f24', width: 0.7, dash: [5, 2.5] },
  limit: { colour: '#b8470b', width: 0.9, dash: [6, 2, 1.2, 2] },
  overpressure: { colour: '#6d1f4b', width: 0.8, dash: [11, 3] },
  readings: { colour: '#8aa6c4', width: 0.6, dash: [] as number[] },
  fit: { colour: '#0b3c6f', width: 1.2, dash: [] as number[] },
  band: { colour: '#0b3c6f', width: 0.5, dash: [1.5, 1.5] },
  settling: '#f1f2f4',
  dwell: '#dce7f2',
} as const;
