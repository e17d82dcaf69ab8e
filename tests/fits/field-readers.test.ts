import { describe, expect, it } from 'vitest';
import { parseCard } from '../../src/fits/card.js';
import {
  angleWithin,
  numberWithin,
  readAltitude,
  readElectronsPerAdu,
  readExposure,
  readGainSetting,
  readLongitude,
  readMillimetres,
  readPierSide,
  readRightAscension,
  readTemperature,
  readText,
} from '../../src/fits/field-readers.js';
import type { CardReading } from '../../src/fits/header-field.js';
import type { Card } from '../../src/fits/types.js';

/** What a reader makes of a card: the value, or null. */
const read = (reader: (card: Card) => CardReading<unknown>, image: string): unknown => {
  const reading = reader(parseCard(image.padEnd(80))!);
  return 'value' in reading ? reading.value : null;
};

describe.each<[string, (card: Card) => CardReading<unknown>, readonly (readonly [string, unknown])[]]>([
  ['readText', readText, [["OBJECT  = 'M 13 '", 'M 13'], ['FILTERS = 58', '58'], ["OBJECT  = ' '", null], ['OBJECT  = T', null]]],
  ['numberWithin', numberWithin(1, 3), [['A       = 1', 1], ['A       = 3.1', null], ["A       = 'x'", null]]],
  [
    'readExposure',
    readExposure,
    [['EXPTIME = 30', 30], ['EXPTIME = 500 / [ms] exposure', 0.5], ['EXPTIME = 2 / [min]', 120], ['EXPOINUS= 250000', 0.25], ['EXPTIME = -1', null]],
  ],
  [
    'readTemperature',
    readTemperature,
    [['T       = -10.5', -10.5], ['T       = 180.1 / block', -93.05], ['T       = 273.15 / [K]', 0], ["T       = '13 C'", 13], ['T       = 999', null]],
  ],
  ['readGainSetting', readGainSetting, [['GAIN    = 100', 100], ['GAIN    = -1', null]]],
  [
    'readElectronsPerAdu',
    readElectronsPerAdu,
    [['GAIN    = 1.9 / e-/ADU', 1.9], ['GAIN    = 1.9 / gain', null], ['EGAIN   = 0.25', 0.25], ['EGAIN   = 0', null]],
  ],
  [
    'readPierSide',
    readPierSide,
    [["P       = 'West'", 'west'], ["P       = 'pierEast'", 'east'], ["P       = 'PIER_WEST'", 'west'], ["P       = 'E'", 'east'], ['P       = 1', 'west'], ["P       = 'unknown'", null], ["P       = 'estimated'", null]],
  ],
  ['readAltitude', readAltitude, [["A       = '+45 30 00'", 45.5], ['A       = 2030 / [m] sea level', null], ['A       = 91', null]]],
  ['angleWithin', angleWithin(-90, 90), [["D       = '-25:17:06'", -25.285], ['D       = 100', null]]],
  [
    'readRightAscension',
    readRightAscension,
    [["RA      = '18:15:29'", 273.87083333333334], ['RA      = 18.5', 18.5], ['RA      = 18.5 / [hours]', 277.5], ["RA      = '301.5'", 301.5], ['RA      = 400', null]],
  ],
  [
    'readLongitude',
    readLongitude,
    [["L       = '-64 32 56'", -64.54888888888888], ['L       = 104 / degrees west', -104], ['L       = 359 / east', -1], ['L       = 400', null]],
  ],
  [
    'readMillimetres',
    readMillimetres(1, 1e5),
    [['F       = 530', 530], ['F       = 0.53 / [m]', 530], ["F       = '8 in'", 203.2], ['F       = 0', null]],
  ],
])('%s', (_, reader, cases) => {
  it.each(cases)('%s', (image, expected) => {
    const value = read(reader, image);
    if (typeof expected === 'number') expect(value).toBeCloseTo(expected, 9);
    else expect(value).toBe(expected);
  });
}); // prettier-ignore
