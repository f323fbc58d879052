import { type Command, Option } from 'commander';
import { collect, command, examples, number, positive, whole } from './command.js';

/** Commands about gauges. */
export function gauges(gauge: Command): void {
  command(gauge, 'list', 'serial ports found and gauges known')
    .addHelpText('after', examples('dwellmark gauge list', 'dwellmark gauge list --json'))
    .action(async (options) => (await import('../commands/gauge-list.js')).run(options));
  command(gauge, 'add', 'listen to a gauge or oil probe or ask it, propose how it is read, and add it to the shop')
    .option('--path <port>', 'serial port; asked when there are several. For modbus-tcp host and port of the gateway')
    .option('--baud <n>', 'try this rate only', positive)
    .addOption(
      new Option('--driver <name>', 'how it is read; without it, it is listened to first').choices([
        'ascii-stream',
        'ascii-poll',
        'modbus-rtu',
        'modbus-tcp',
      ]),
    )
    .option('--unit <unit>', 'for lines without one: bar, psi, … of a gauge; C, F or K of an oil probe')
    .option('--pattern <text>', 'the line as it looks, e.g. "{pressure} {unit}"; proposed when absent')
    .option('--column <n>', 'which number of the line is the pressure, counted from 1', positive)
    .addOption(new Option('--decimal <sign>', 'sign between whole and fraction').choices(['.', ',']))
    .addOption(new Option('--thousands <sign>', 'sign between groups of three digits').choices([',', '.', "'", ' ']))
    .option('--request <text>', 'text command that asks for a reading, e.g. "#{address}{checksum}\\r"')
    .option('--address <text>', 'address set on the gauge; of several on one line the one to read')
    .option('--function <n>', 'Modbus function 3 or 4; both are tried when absent', whole)
    .option('--register <n>', "register of the pressure, or of a probe's temperature, as in the manual", whole)
    .option('--type <name>', 'float32, int16, uint16, int32 or uint32')
    .option('--scale <n>', 'the value is the number times this, e.g. 0.1', number)
    .option('--word-order <name>', 'ABCD, CDAB, BADC or DCBA; shown live to pick from when absent')
    .option('--first-register <n>', '1 where the manual counts registers from 1', whole)
    .option('--oil-register <n>', 'register of the oil temperature', whole)
    .option('--oil-type <name>', 'its type')
    .option('--oil-scale <n>', 'its scale', number)
    .option('--status-register <n>', 'register that says how the device is', whole)
    .option('--status-good <n>', 'the number there that means well', whole)
    .option('--serial <text>', 'serial number on the gauge')
    .option('--maker <text>', 'maker')
    .option('--model <text>', 'model')
    .option('--range <text>', 'e.g. "0..400 bar"; of a probe "-20..120 C"')
    .option('--resolution <text>', 'e.g. "0.1 bar"; from the digits sent when absent')
    .option('--accuracy <text>', 'e.g. "0.25 %FS"; of a probe "0.2 K"')
    .option('--yes', 'ask nothing: take what is heard and given')
    .addHelpText(
      'after',
      examples(
        'dwellmark gauge add',
        'dwellmark gauge add --path /dev/ttyUSB0 --serial "SN 40117" --range "0..400 bar" --accuracy "0.25 %FS" --yes',
        'dwellmark gauge add --driver modbus-rtu --address 1 --register 0',
        'dwellmark gauge add --driver modbus-rtu --unit C --address 7 --register 101    # an oil probe',
        'dwellmark gauge add --driver modbus-tcp --path 192.168.1.50:502 --address 1 --register 0',
        'dwellmark gauge add --driver ascii-poll --request "#{address}\\r" --address 01',
      ),
    )
    .action(async (options) => (await import('../commands/gauge-add.js')).run(options));
  command(gauge, 'doctor', 'write down what is heard on a port, for a mail to whoever helps')
    .option('--path <port>', 'serial port; asked when there are several')
    .option('--baud <n>', 'try this rate only', positive)
    .option('--seconds <n>', 'listen so long at each line setting', positive, 4)
    .addHelpText('after', examples('dwellmark gauge doctor', 'dwellmark gauge doctor --path /dev/ttyUSB0 > gauge.txt'))
    .action(async (options) => (await import('../commands/gauge-doctor.js')).run(options));
  command(gauge, 'show', 'what a gauge is, how it is read, its calibrations, the tests that used it last')
    .argument('<serial>', 'serial of the gauge')
    .addHelpText('after', examples('dwellmark gauge show "SN 40117"'))
    .action(async (serial, options) => (await import('../commands/gauge-show.js')).run(serial, options));
  command(gauge, 'read', 'what it says just now, with rate, jitter, noise and resolution as seen')
    .argument('<serial>', 'serial of the gauge')
    .option('--count <n>', 'end after so many readings, a line each', positive)
    .addHelpText('after', examples('dwellmark gauge read "SN 40117"', 'dwellmark gauge read "SN 40117" --count 50'))
    .action(async (serial, options) => (await import('../commands/gauge-read.js')).run(serial, options));
  command(gauge, 'simulate', 'a practice bench: a simulated gauge on a pseudo-terminal, as on a cable')
    .argument('[scenario]', 'tight, piston-seal, gland, air or shut-valve', 'tight')
    .option('-o, --output <dir>', 'folder of the practice shop', 'dwellmark-practice')
    .addOption(
      new Option('--speak <how>', 'a line of text for each reading, or Modbus RTU when asked')
        .choices(['text', 'modbus'])
        .default('text'),
    )
    .option('--dwell <s>', "seconds of each dwell, to practise in less time; the scenario's own when absent", positive)
    .option('--seed <n>', 'seed of the simulated noise', whole, 7)
    .addHelpText(
      'after',
      examples(
        'dwellmark gauge simulate',
        'dwellmark gauge simulate --dwell 30 -o .',
        'dwellmark gauge simulate piston-seal',
        'dwellmark gauge simulate tight --speak modbus -o practice-modbus',
      ),
    )
    .action(async (scenario, options) => (await import('../commands/gauge-simulate.js')).run(scenario, options));
  command(gauge, 'calibrate', 'enter a calibration; the older ones stay')
    .argument('<serial>', 'serial of the gauge')
    .option('--certificate <number>', "number of the laboratory's certificate")
    .option('--laboratory <name>', 'who calibrated it')
    .option('--date <date>', 'when, year-month-day')
    .option('--due <date>', 'last day it is good for')
    .option('--covers <range>', 'pressures it covers, e.g. "0..400 bar"; the span of its points when absent')
    .option('--uncertainty <text>', 'expanded uncertainty (k = 2), e.g. "0.2 bar"')
    .option('--accuracy <text>', 'half-width of the error it confirms, e.g. "0.5 bar"')
    .option('--found <point>', 'as found, e.g. "100 bar=100.3 bar" (reference=shown); once for each point', collect, [])
    .option('--left <point>', 'as left, the same way', collect, [])
    .option('--correction <point>', 'what to add where, e.g. "100 bar=-0.1 bar"; once for each point', collect, [])
    .option('--points <file>', 'points from a CSV file, or the whole calibration from a TOML file')
    .option('--file <file>', 'the certificate itself (PDF, PNG, JPEG), kept in the record')
    .addHelpText(
      'after',
      `
Points as CSV: reference_bar,as_found_bar,as_left_bar,correction_bar (or another unit), one point a row.
As TOML: the same names as these options, and as_found = [{ reference = "100 bar", shown = "100.3 bar" }].
${examples(
  'dwellmark gauge calibrate "SN 40117" --certificate CAL-0311 --laboratory "Brackwater Metrology" \\\n' +
    '      --date 2026-03-14 --due 2027-03-14 --covers "0..400 bar" --uncertainty "0.2 bar" \\\n' +
    '      --points cal-0311.csv --file cal-0311.pdf',
  'dwellmark gauge calibrate "SN 40117" --points cal-0311.toml --file cal-0311.pdf',
)}`,
    )
    .action(async (serial, options) => (await import('../commands/gauge-calibrate.js')).run(serial, options));
}
