import { describe, expect, it } from 'vitest';
import { utcFrom } from '../../src/fits/time-system.js';

const utc = (system: string, text: string): string | null => {
  const ms = utcFrom(system, Date.parse(`${text}Z`));
  return ms === null ? null : new Date(ms).toISOString();
};

describe('utcFrom', () => {
  it.each(['', 'UTC', 'utc ', 'UT', 'GMT', 'UT1', 'UTC(NIST)'])('leaves %j as it is', (system) =>
    expect(utc(system, '2021-10-08T01:55:17.144')).toBe('2021-10-08T01:55:17.144Z'),
  );

  // astropy 5.2.1, Time(text, scale).utc; TDB differs from TT by 2 ms at most.
  it.each([
    ['TAI', '2021-10-08T01:55:54.144', '2021-10-08T01:55:17.144Z'],
    ['TT', '2021-10-08T01:56:26.328', '2021-10-08T01:55:17.144Z'],
    ['TDB', '2021-10-08T01:56:26.328', '2021-10-08T01:55:17.144Z'],
    ['TAI', '1998-12-31T23:59:59', '1998-12-31T23:59:28.000Z'],
    ['TAI', '1999-01-01T00:00:32', '1999-01-01T00:00:00.000Z'],
    ['GPS', '2021-10-08T01:55:35.144', '2021-10-08T01:55:17.144Z'],
  ])('%s %s', (system, text, expected) => expect(utc(system, text)).toBe(expected));

  it.each(['LOCAL', 'TCB', 'TCG', 'MARS'])('does not guess %s', (system) =>
    expect(utc(system, '2021-10-08T01:55:17')).toBeNull(),
  );
});
