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
});
