import type { SizeFigure } from '../field/types.js';

// The only module that turns numbers into text for people: page, terminal and pictures say a figure the same way.
// Null and non-finite values read as a dash everywhere.

/** What stands where a figure could not be measured. */
export const DASH = '–';

/** `value` with a fixed number of decimals and a true minus sign; a dash for null or non-finite. */
export function fixed(value: number | null | undefined, digits: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return DASH;
  const text = value.toFixed(digits);
  // -0.00 would read as a direction that is not there.
  if (Number(text) === 0) return (0).toFixed(digits);
  return text.replace('-', '−');
}

/** `fixed` with a leading plus sign for positive values. */
export function signed(value: number | null | undefined, digits: number): string {
  const text = fixed(value, digits);
  return text !== DASH && Number(value) > 0 && Number(text) !== 0 ? `+${text}` : text;
}

function withUnit(text: string, unit: string): string {
  return text === DASH || unit === '' ? text : `${text}${unit}`;
}

/** Arcseconds, two decimals: `3.37″`. */
export function arcsec(value: number | null | undefined): string {
  return withUnit(fixed(value, 2), '″');
}

/** Pixels, two decimals: `2.31 px`. */
export function pixels(value: number | null | undefined): string {
  return withUnit(fixed(value, 2), ' px');
}

/** A size in arcseconds when the plate scale is known, else in pixels. */
export function size(figure: SizeFigure): string {
  return figure.arcsec !== null ? arcsec(figure.arcsec) : pixels(figure.px);
}

/** Elongation, weight and other ratios: two decimals. */
export function ratio(value: number | null | undefined): string {
  return fixed(value, 2);
}

/** A fraction 0..1 as whole per cent: `97 %`. */
export function percentOf(fraction: number | null | undefined): string {
  return percent(fraction === null || fraction === undefined ? null : fraction * 100, 0);
}

/** A value already in per cent. */
export function percent(value: number | null | undefined, digits = 1): string {
  return withUnit(fixed(value, digits), ' %');
}

/** Sky levels and noises in ADU: as many decimals as still mean something. */
export function adu(value: number | null | undefined): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return DASH;
  const magnitude = Math.abs(value);
  return fixed(value, magnitude >= 1000 ? 0 : magnitude >= 10 ? 1 : magnitude >= 0.1 ? 2 : 4);
}

/** Whole degrees: `31°`. */
export function degrees(value: number | null | undefined): string {
  return withUnit(fixed(value, 0), '°');
}

/** Degrees Celsius, one decimal: `−10.0 °C`. */
export function celsius(value: number | null | undefined): string {
  return withUnit(fixed(value, 1), ' °C');
}

/** A whole number: focuser steps, stars. */
export function whole(value: number | null | undefined): string {
  return fixed(value, 0);
}

/** `1 sub`, `12 subs`. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** A length of time in the largest two units: `45 s`, `12 min`, `2 h 50 min`. */
export function duration(seconds: number | null | undefined): string {
  if (seconds === null || seconds === undefined || !Number.isFinite(seconds)) return DASH;
  if (seconds < 90) return `${fixed(seconds, seconds < 10 && seconds % 1 !== 0 ? 1 : 0)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.floor(minutes / 60);
  if (hours >= 72) return `${fixed(hours / 24, 0)} days`;
  return minutes % 60 === 0 ? `${hours} h` : `${hours} h ${minutes % 60} min`;
}

/** Hours and minutes of an ISO 8601 time, UTC: `21:34`. */
export function clock(iso: string | null): string {
  return iso === null || Number.isNaN(Date.parse(iso)) ? DASH : new Date(iso).toISOString().slice(11, 16);
}

/** Calendar day of an ISO 8601 time, UTC: `2026-11-24`. */
export function day(iso: string | null): string {
  return iso === null || Number.isNaN(Date.parse(iso)) ? DASH : new Date(iso).toISOString().slice(0, 10);
}

/** A value with its standard error, both to the error's first two figures: `38 ± 4`, `1.20 ± 0.03`. */
export function withError(
  value: number | null | undefined,
  error: number | null | undefined,
  unit = '',
): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return DASH;
  if (error === null || error === undefined || !Number.isFinite(error) || error <= 0) {
    return measured(value, unit);
  }
  const digits = Math.min(
    4,
    Math.max(0, (error >= 3 * 10 ** Math.floor(Math.log10(error)) ? 0 : 1) - Math.floor(Math.log10(error))),
  );
  return withUnit(`${fixed(value, digits)} ± ${fixed(error, digits)}`, spaced(unit));
}

/**
 * A value with its standard error to a fixed number of decimals: `15.2 ± 0.3`; up to two decimals more where the error would round to nothing,
 * and what it lies under where that is not enough (`15.200 ± < 0.001`).
 */
export function plusMinus(
  value: number | null | undefined,
  error: number | null | undefined,
  digits: number,
): string {
  return besideError(fixed, value, error, digits);
}

/** `plusMinus` with a leading plus sign for positive values. */
export function plusMinusSigned(
  value: number | null | undefined,
  error: number | null | undefined,
  digits: number,
): string {
  return besideError(signed, value, error, digits);
}

function besideError(
  show: typeof fixed,
  value: number | null | undefined,
  error: number | null | undefined,
  digits: number,
): string {
  const isGone = (decimals: number): boolean => Number(fixed(error, decimals)) === 0;
  let decimals = digits;
  while (decimals < digits + 2 && isGone(decimals)) decimals++;
  const shown = isGone(decimals) ? `< ${(10 ** -decimals).toFixed(decimals)}` : fixed(error, decimals);
  return `${show(value, decimals)} ± ${shown}`;
}

/** Errors that a figure must have before its sign or its direction means anything. */
const SURE = 2;

/** False where a figure lies within twice its error of nothing, or its error is unknown. */
export function isSure(value: number | null | undefined, error: number | null | undefined): boolean {
  return (
    typeof value === 'number' && typeof error === 'number' && error >= 0 && Math.abs(value) > SURE * error
  );
}

/** A value of any kind with its unit, to about three figures. */
export function measured(value: number | null | undefined, unit = ''): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return DASH;
  const magnitude = Math.abs(value);
  const whole = Number.isInteger(value) || magnitude >= 100;
  const digits = whole ? 0 : magnitude >= 10 ? 1 : magnitude >= 0.1 ? 2 : 4;
  // "1 frame", but "1.00 frames" never comes: counts are whole.
  return withUnit(fixed(value, digits), spaced(value === 1 ? unit.replace(/(\p{L}{2})s$/u, '$1') : unit));
}

/**
 * A text with the signs that people read where the record has keyboard ones behind or between numbers: `21.0 um`, `27 deg`, `3.63"`,
 * `1.25 x the group's` as `21.0 µm`, `27°`, `3.63″`, `1.25 × the group's`. Not for words that a person wrote.
 */
export function withSigns(text: string): string {
  return text
    .replace(/(\d) um\b/g, '$1 µm')
    .replace(/(\d) deg\b/g, '$1°')
    .replace(/(\d)"/g, '$1″')
    .replace(/(\d(?: px|″)?) x (?=\d|the )/g, '$1 × ');
}

/** A unit as it stands behind a number: signs close up, words with a space, names of units as their signs. */
function spaced(unit: string): string {
  if (unit === '' || unit === '°' || unit === '″') return unit;
  if (unit === 'arcsec') return '″';
  if (unit === 'deg') return '°';
  if (unit === 'percent') return ' %';
  return ` ${unit.replace(/\b(micron|um)\b/g, 'µm')}`;
}

/** A cause under this confidence is named, but its advice is not urged on anybody. */
export const worthAdvice = 0.5;

/** A confidence 0..1 in words, for people who do not bet. */
export function confidenceWords(confidence: number): string {
  if (confidence >= 0.95) return 'practically certain';
  if (confidence >= 0.8) return 'very likely';
  if (confidence >= 0.6) return 'likely';
  return 'possible';
}
