// Loaded before the program: what a file says happens to its computer's clocks.
const { readFileSync } = require('node:fs');
const { syncBuiltinESMExports } = require('node:module');
const os = require('node:os');

let happened = '';
setInterval(() => {
  try {
    happened = readFileSync(process.env.COMPUTER_FILE, 'utf8');
  } catch {
    // Nothing has.
  }
}, 100).unref();

const RealDate = Date;
const wallMs = () => RealDate.now() - (happened === 'clock set back' ? 3_600_000 : 0);
globalThis.Date = class extends RealDate {
  constructor(...given) {
    super(...(given.length === 0 ? [wallMs()] : given));
  }
  static now() {
    return wallMs();
  }
};

const uptime = os.uptime;
os.uptime = () => uptime() + (happened === 'slept' ? 600 : 0);
syncBuiltinESMExports();
