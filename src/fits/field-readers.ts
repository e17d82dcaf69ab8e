import { parseAngle } from './header-angle.js';
import type { CardReading } from './header-field.js';
import { cardNumber } from './header-number.js';
import type { Card } from './types.js';

// How single cards are read for a meaning; each takes a card with a value and answers a value or a problem.

const notANumber = { problem: 'no number' } as const;

export function readText(card: Card): CardReading<string> {
  if (typeof card.value === 'object' || typeof card.value === 'boolean') return { problem: 'no text' };
  const text = String(card.value).trim();
  return text === '' ? { problem: 'empty' } : { value: text };
}

/** A filter's name; of the wheels of a train (FILTER1, FILTER2) an open place is none. */
export function readFilter(card: Card): CardReading<string> {
  const text = readText(card);
  const open =
    'value' in text &&
    /^FILTER\d$/.test(card.keyword) &&
    /^(clear|open|none|empty|air|free|blank)\b/i.test(text.value);
  return open ? { problem: 'an open place of the wheel' } : text;
}

/** A number within limits (both inclusive). */
export function numberWithin(lowest: number, highest: number): (card: Card) => CardReading<number> {
  return (card) => {
    const number = cardNumber(card);
    if (!number) return notANumber;
    const { value } = number;
    return value >= lowest && value <= highest
      ? { value }
      : { problem: `not between ${lowest} and ${highest}` };
  };
}

/** Longest exposure taken for one, seconds: a day. */
const MAX_EXPOSURE = 86_400;

/** Seconds; other units by the comment's bracket or the keyword. */
export function readExposure(card: Card): CardReading<number> {
  const number = cardNumber(card);
  if (!number) return notANumber;
  if (number.value < 0) return { problem: 'negative' };
  const [factor, note] = exposureUnit(card, (number.unit ?? '').toLowerCase());
  const value = number.value * factor;
  if (value > MAX_EXPOSURE) return { problem: 'longer than a day' };
  return note ? { value, note } : { value };
}

function exposureUnit(card: Card, unit: string): readonly [seconds: number, note: string | null] {
  if (card.keyword === 'EXPOINUS' || /^(us|µs|microsec)/.test(unit)) return [1e-6, 'microseconds'];
  if (/^(ms|millisec)/.test(unit)) return [1e-3, 'milliseconds'];
  return /^min/.test(unit) ? [60, 'minutes'] : [1, null];
}

/** Degrees Celsius; kelvin by the unit, or where Celsius would boil. */
export function readTemperature(card: Card): CardReading<number> {
  const number = cardNumber(card);
  if (!number) return notANumber;
  const kelvin = /^k(elvin)?$/i.test(number.unit ?? '') || (number.value > 100 && number.value < 400);
  const value = kelvin ? Math.round((number.value - 273.15) * 1e6) / 1e6 : number.value;
  if (value < -273.15 || value > 100) return { problem: 'no temperature in use' };
  return kelvin ? { value, note: 'kelvin' } : { value };
}

/** A camera's gain setting, unless the comment says that the card holds electrons per ADU. */
export function readGainSetting(card: Card): CardReading<number> {
  const number = cardNumber(card);
  if (!number) return notANumber;
  return number.value < 0 ? { problem: 'negative' } : { value: number.value };
}

/** Electrons per ADU; GAIN counts only where its comment says so. */
export function readElectronsPerAdu(card: Card): CardReading<number> {
  const number = cardNumber(card);
  if (!number) return notANumber;
  if (
    card.keyword === 'GAIN' &&
    !/e-?\s*\/\s*(adu|dn|count)|electrons?\s*(\/|per)\s*(adu|dn|count)/i.test(card.comment)
  ) {
    return { problem: 'a camera setting as far as its comment tells' };
  }
  return number.value > 0 ? { value: number.value } : { problem: 'not positive' };
}

/** Side of the pier the telescope is on; 0 and 1 as ASCOM's SideOfPier numbers them (0 east, 1 west). */
export function readPierSide(card: Card): CardReading<'east' | 'west'> {
  const text = String(card.value)
    .trim()
    .toLowerCase()
    .replace(/^pier[\s_-]*/, '');
  if (/^(e|east|0)\b/.test(text)) return { value: 'east' };
  if (/^(w|west|1)\b/.test(text)) return { value: 'west' };
  return { problem: 'neither east nor west' };
}

/** An altitude above the horizon in degrees; heights of a site in metres share some of the keywords. */
export function readAltitude(card: Card): CardReading<number> {
  const angle = parseAngle(card.value);
  if (!angle) return notANumber;
  if (/\bm(et(re|er)s?)?\b|sea level|site/i.test(card.comment)) return { problem: 'the height of a site' };
  return angle.value >= -90 && angle.value <= 90 ? { value: angle.value } : { problem: 'beyond 90 degrees' };
}

export function angleWithin(lowest: number, highest: number): (card: Card) => CardReading<number> {
  return (card) => {
    const angle = parseAngle(card.value);
    if (!angle) return { problem: 'no angle' };
    const { value } = angle;
    return value >= lowest && value <= highest
      ? { value }
      : { problem: `not between ${lowest} and ${highest} degrees` };
  };
}

/** Right ascension in degrees: sexagesimal text is in hours, plain numbers are in degrees unless text or comment say hours. */
export function readRightAscension(card: Card): CardReading<number> {
  const angle = parseAngle(card.value);
  if (!angle) return { problem: 'no angle' };
  const inHours =
    angle.mark === 'h' ||
    (angle.mark === null &&
      (angle.sexagesimal ? !/\bdeg/i.test(card.comment) : /\bh(ours?|rs?)?\b/i.test(card.comment)));
  const value = angle.value * (inHours ? 15 : 1);
  return value >= 0 && value <= 360 ? { value: value % 360 } : { problem: 'not between 0 and 360 degrees' };
}

/** East longitude in degrees, in [-180, 180]; a comment that counts westward turns the sign. */
export function readLongitude(card: Card): CardReading<number> {
  const angle = parseAngle(card.value);
  if (!angle) return { problem: 'no angle' };
  if (Math.abs(angle.value) > 360) return { problem: 'beyond 360 degrees' };
  const westward = /\+\s*w|west(ward)?\s*(is\s*)?(\+|positive)|degrees?\s+west|\[deg west\]/i.test(
    card.comment,
  );
  let value = westward ? -angle.value : angle.value;
  if (value > 180) value -= 360;
  if (value < -180) value += 360;
  return westward ? { value, note: 'counted westward' } : { value };
}

/** A length in millimetres; metres and inches by the unit. */
export function readMillimetres(lowest: number, highest: number): (card: Card) => CardReading<number> {
  return (card) => {
    const number = cardNumber(card);
    if (!number) return notANumber;
    const unit = (number.unit ?? '').toLowerCase();
    const factor = /^(m|met(re|er)s?)$/.test(unit) ? 1000 : /^(in|inch|inches|")$/.test(unit) ? 25.4 : 1;
    const value = number.value * factor;
    if (value === 0) return { problem: 'zero, so not filled in' };
    return value >= lowest && value <= highest
      ? { value }
      : { problem: `not between ${lowest} and ${highest} mm` };
  };
}

/** A focal ratio, also as photographers write it (`f/5.3`). */
export function readFocalRatio(card: Card): CardReading<number> {
  const text = typeof card.value === 'string' ? card.value.replace(/^\s*f\s*\/?\s*/i, '') : card.value;
  return numberWithin(0.5, 100)({ ...card, value: text });
}
