/** A published text that a rule, a figure or a check of this program leans on. */
export interface Source {
  /** As it is cited beside the figure. */
  readonly cite: string;
  readonly edition: string;
  readonly gives: string;
}

const notKnown = 'edition not known';

/** Alphabetical within each group. What has no published text says "common practice, no source" or "from memory" instead. */
export const sources: readonly Source[] = [
  { cite: '21 CFR 11', edition: notKnown, gives: 'what a signature on a record must show' },
  {
    cite: '30 CFR 250.448',
    edition: 'until it was replaced in 2016',
    gives: 'low-pressure test first, each for 5 min',
  },
  { cite: '34 Pa. Code 3a.115', edition: notKnown, gives: 'never above 106 % of the test pressure' },
  { cite: 'API 598', edition: notKnown, gives: '16 drops a millilitre' },
  { cite: 'ASME B31.3', edition: notKnown, gives: 'hydrostatic test at least 1.5 x design' },
  { cite: 'ASME VIII-1 UG-102', edition: notKnown, gives: 'range of a dial gauge: 1.5 to 4 x the test pressure' },
  { cite: 'ASTM D6793', edition: '2002', gives: 'secant and tangent bulk modulus' },
  { cite: 'AWWA C600', edition: notKnown, gives: 'allowed loss of a pipeline' },
  { cite: 'EN 837-1', edition: '1996', gives: 'accuracy classes of gauges' },
  { cite: 'GB/T 15622', edition: notKnown, gives: 'proof and low-pressure test of cylinders' },
  { cite: 'ISO 10100', edition: '2020', gives: 'acceptance tests of cylinders' },
  { cite: 'ISO 3448', edition: '1992', gives: 'viscosity grades of oils' },
  { cite: 'MIL-DTL-5523E', edition: 'E', gives: '20 drops a millilitre, derived' },
  { cite: 'MIL-PRF-5503G', edition: 'G', gives: 'proof of aircraft cylinders: 150 %, 3 min' },
  { cite: 'SAE J1334', edition: notKnown, gives: 'test at about twice the rated pressure' },
  { cite: 'SAE J1335', edition: notKnown, gives: 'break-away and drag' },
  { cite: 'UFC 4-390-01', edition: notKnown, gives: 'gauge within 1 %, at 1/4 to 3/4 of its scale' },
  { cite: 'GUM', edition: 'JCGM 100:2008', gives: 'uncertainty, Welch-Satterthwaite, Student' },
  { cite: 'ILAC-G8', edition: '09/2019', gives: 'decision rules, guard bands' },
  { cite: 'ISO/IEC 17025', edition: '2017', gives: 'what a certificate must carry (7.8)' },
  { cite: 'JCGM 101', edition: '2008', gives: 'Monte Carlo of uncertainty' },
  { cite: 'JCGM 106', edition: '2012', gives: 'conformance probability' },
  { cite: 'NIST SP 811', edition: '2008', gives: 'factors of units' },
  { cite: 'NIST StRD', edition: 'www.itl.nist.gov/div898/strd', gives: 'certified regression and correlation data' },
  { cite: 'Hayward', edition: '1967, Br. J. Appl. Phys. 18, 965', gives: 'modulus of a liquid against pressure' },
  { cite: 'IAPWS', edition: 'R6-95 (2018), R12-08', gives: 'properties of water' },
  { cite: 'ToolBox', edition: 'engineeringtoolbox.com', gives: 'bulk modulus of oils and fire-resistant fluids' },
  { cite: 'fluidpower.pro', edition: 'web page', gives: '11 bar for each kelvin of trapped oil' },
  { cite: 'FIPS 180-4', edition: '2015', gives: 'SHA-256' },
  { cite: 'IEEE 488.2', edition: '1992', gives: 'how instruments write numbers' },
  { cite: 'IEEE 754', edition: '1985', gives: 'numbers in registers' },
  { cite: 'MODBUS', edition: 'application V1.1b3, serial line V1.02', gives: 'frames and CRC' },
  { cite: 'NMEA 0183', edition: notKnown, gives: 'checksum of a line' },
  { cite: 'RFC 7914', edition: '2016', gives: 'scrypt' },
  { cite: 'RFC 8032', edition: '2017', gives: 'Ed25519' },
  { cite: 'RFC 8785', edition: '2020', gives: 'canonical JSON' },
  { cite: 'SCPI', edition: '1999', gives: 'numbers that stand for no value' },
];

/** The table as lines of at most 80 columns. */
export const sourceLines = (): string[] =>
  sources.flatMap(({ cite, edition, gives }) => {
    const line = `${cite.padEnd(20)} ${gives}`;
    const rest = ` (${edition})`;
    return line.length + rest.length <= 80 ? [line + rest] : [line, `${' '.repeat(21)}${rest.trim()}`];
  });
