import { describe, expect, it } from 'vitest';
import { readStartOfExposure } from '../../src/fits/header-date.js';
import { headerOf } from './header-sketch.js';

const start = (...cards: string[]): ReturnType<typeof readStartOfExposure> =>
  readStartOfExposure(headerOf(...cards), 60);
const iso = (...cards: string[]): string => (start(...cards) as { iso: string }).iso;
const problem = (...cards: string[]): string => (start(...cards) as { problem: string }).problem;

describe('readStartOfExposure', () => {
  it.each([
    [["DATE-OBS= '2015-12-27T06:26:24'"], '2015-12-27T06:26:24.000Z'],
    [["DATE-OBS= '2021-10-08T01:55:17.144'"], '2021-10-08T01:55:17.144Z'],
    [["DATE-OBS= '2021-10-08T01:55:17Z'"], '2021-10-08T01:55:17.000Z'],
    [["DATE-OBS= '2021-10-08T01:55:17+02:00'"], '2021-10-07T23:55:17.000Z'],
    [["DATE-OBS= '2024-02-29 23:59'"], '2024-02-29T23:59:00.000Z'],
    [["DATE-OBS= '2016-12-31T23:59:60.5'"], '2017-01-01T00:00:00.500Z'],
    [["DATE-OBS= '2013-06-27'", "UT      = '23:13:12'"], '2013-06-27T23:13:12.000Z'],
    [["DATE-OBS= '26/07/99'", "TIME-OBS= '19:36:37.25'"], '1999-07-26T19:36:37.250Z'],
    [["DATE-BEG= '2021-10-08T01:55:17'"], '2021-10-08T01:55:17.000Z'],
    [['MJD-OBS = 59495.5'], '2021-10-08T12:00:00.000Z'],
    [["DATE-AVG= '2021-10-08T12:00:30'"], '2021-10-08T12:00:00.000Z'],
    [['JD      = 2457383.75 / Julian Date at start of exposure'], '2015-12-27T06:00:00.000Z'],
  ])('%j', (cards, expected) => expect(iso(...cards)).toBe(expected));

  it('names the cards the date came from', () => {
    expect(start("DATE-OBS= '2013-06-27'", "UT      = '23:13:12'")).toMatchObject({ source: 'DATE-OBS+UT' });
  });

  it('guesses nothing: no time of day, illegal dates, a Julian date of the end', () => {
    expect(problem("DATE-OBS= '2013-06-27'")).toMatch(/no time of day/);
    expect(problem("DATE-OBS= '26/07/102'", 'JD      = 2452482.3 / Time at end of exposure')).toMatch(
      /is no date/,
    );
    expect(problem("DATE-OBS= '2023-02-29T01:00:00'")).toMatch(/is no date/);
    expect(problem("DATE-OBS= '2023-02-27T25:00:00'")).toMatch(/no readable time/);
    expect(problem()).toMatch(/no DATE-OBS/);
    expect(problem('MJD-OBS = 2459495.5')).toMatch(/no DATE-OBS/);
  });

  it.each([
    [["DATE-OBS= '2021-10-08T01:56:26.328'", "TIMESYS = 'TT'"], '2021-10-08T01:55:17.144Z', 'DATE-OBS (from TT)'],
    [["DATE-OBS= '2021-10-08T01:55:17Z'", "TIMESYS = 'TAI'"], '2021-10-08T01:55:17.000Z', 'DATE-OBS'],
    [["DATE-OBS= '2021-10-08'", "UT      = '01:55:17'", "TIMESYS = 'TAI'"], '2021-10-08T01:55:17.000Z', 'DATE-OBS+UT'],
    [["DATE-OBS= '2021-10-08'", "TIME-OBS= '01:55:54'", "TIMESYS = 'TAI'"], '2021-10-08T01:55:17.000Z', 'DATE-OBS+TIME-OBS (from TAI)'],
    [["DATE-OBS= '2021/10/08 01:55:17'"], '2021-10-08T01:55:17.000Z', 'DATE-OBS'],
  ])('turns other time systems into UTC: %j', (cards, expected, source) => {
    expect(start(...cards)).toEqual({ iso: expected, source });
  }); // prettier-ignore

  it('does not take a local clock for UTC', () => {
    expect(problem("DATE-OBS= '2021-10-08T01:55:17'", "TIMESYS = 'LOCAL'")).toMatch(/not tied to UTC/);
    const mjd = 'MJD-OBS = 59495.5';
    expect(start("DATE-OBS= '2021-10-08T14:00:02Z'", mjd)).toEqual({
      iso: '2021-10-08T12:00:00.000Z',
      source: 'MJD-OBS (DATE-OBS is 2 h ahead: local time)',
    });
    expect(iso("DATE-OBS= '2021-10-08T06:30:00'", mjd)).toBe('2021-10-08T12:00:00.000Z');
  });

  it.each([
    ['the same to a second', '12:00:01'],
    ['half an exposure of an hour apart', '11:30:00'],
    ['an exposure of an hour apart', '11:00:10'],
    ['apart by no zone', '13:37:00'],
  ])('trusts DATE-OBS before MJD-OBS: %s', (_, time) => {
    const header = headerOf(`DATE-OBS= '2021-10-08T${time}'`, 'MJD-OBS = 59495.5');
    expect(readStartOfExposure(header, 3600)).toMatchObject({ iso: `2021-10-08T${time}.000Z` });
  });
});
