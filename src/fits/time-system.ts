/** TAI - UTC in seconds from a date on (year, month); IERS Bulletin C. None has been announced after 2017. */
const leapSeconds: readonly (readonly [year: number, month: number, taiMinusUtc: number])[] = [
  [1972, 1, 10],
  [1972, 7, 11],
  [1973, 1, 12],
  [1974, 1, 13],
  [1975, 1, 14],
  [1976, 1, 15],
  [1977, 1, 16],
  [1978, 1, 17],
  [1979, 1, 18],
  [1980, 1, 19],
  [1981, 7, 20],
  [1982, 7, 21],
  [1983, 7, 22],
  [1985, 7, 23],
  [1988, 1, 24],
  [1990, 1, 25],
  [1991, 1, 26],
  [1992, 7, 27],
  [1993, 7, 28],
  [1994, 7, 29],
  [1996, 1, 30],
  [1997, 7, 31],
  [1999, 1, 32],
  [2006, 1, 33],
  [2009, 1, 34],
  [2012, 7, 35],
  [2015, 7, 36],
  [2017, 1, 37],
];

/** Seconds by which a clock runs ahead of TAI, by TIMESYS (FITS Standard 4.0, table 30). The barycentric and geocentric coordinate times are within a minute of TT. */
const aheadOfTai: Readonly<Record<string, number>> = {
  TAI: 0,
  IAT: 0,
  GPS: -19,
  TT: 32.184,
  TDT: 32.184,
  ET: 32.184,
  TDB: 32.184,
};
const utc = new Set(['', 'UTC', 'GMT', 'UT', 'UT1', 'Z', 'ZULU']);

/**
 * A time of another system in UTC, both in milliseconds since 1970 as civil dates count them; UT1 counts as UTC (within a second). Null for
 * systems that don't tell: LOCAL, coordinate times, anything unknown.
 */
export function utcFrom(system: string, ms: number): number | null {
  const name = system
    .trim()
    .toUpperCase()
    .replace(/\(.*\)$/, '');
  if (utc.has(name)) return ms;
  const ahead = aheadOfTai[name];
  if (ahead === undefined) return null;
  const tai = ms - ahead * 1000;
  // Before 1972 UTC ran at a rate of its own; 10 s is right to some seconds from 1968 on.
  let found = tai - 10_000;
  for (const [year, month, seconds] of leapSeconds) {
    const candidate = tai - seconds * 1000;
    if (candidate >= Date.UTC(year, month - 1, 1)) found = candidate;
  }
  return found;
}
