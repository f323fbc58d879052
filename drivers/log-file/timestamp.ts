const shape =
  /^(\d{4})-(\d{2})-(\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s*(Z|[+-]\d{2}(?::?\d{2})?)?$/;

/**
 * An ISO 8601 date and time as whole microseconds since 1970, or undefined when it is none (or no such day). Without
 * an offset it is read as UTC: only differences are used.
 * @example readTimestamp('2026-03-14T08:00:00.25Z') // 1773475200250000
 */
export function readTimestamp(text: string): number | undefined {
  const match = shape.exec(text);
  if (!match) return undefined;
  const [year, month, day, hour, minute] = match.slice(1, 6).map(Number) as [number, number, number, number, number];
  const second = Number(match[6] ?? 0);
  const milliseconds = Date.UTC(year, month - 1, day, hour, minute, second);
  const date = new Date(milliseconds);
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day || hour > 23 || minute > 59 || second > 60)
    return undefined;
  const fractionUs = Math.round(Number(`0.${match[7] ?? '0'}`) * 1e6);
  return (milliseconds - offsetMinutes(match[8]) * 60_000) * 1000 + fractionUs;
}

function offsetMinutes(zone: string | undefined): number {
  if (zone === undefined || zone === 'Z') return 0;
  const digits = zone.slice(1).replace(':', '').padEnd(4, '0');
  const minutes = Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2));
  return zone.startsWith('-') ? -minutes : minutes;
}
