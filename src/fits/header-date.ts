import type { Header } from './header.js';

interface Found {
  readonly iso: string;
  readonly source: string;
}

const isoDate = /^(\d{4})-(\d{1,2})-(\d{1,2})(?:[T\s]+(.*))?$/;
const oldDate = /^(\d{1,2})\/(\d{1,2})\/(\d{2})$/;
const clock = /^(\d{1,2})[:h\s](\d{1,2})(?:[:m\s](\d{1,2}(?:[.,]\d*)?)s?)?\s*(Z|UTC|UT|[+-]\d{2}:?\d{2})?$/i;

/** Days of a civil date since 1970-01-01, null when there is no such day. */
function dayNumber(year: number, month: number, day: number): number | null {
  const ms = Date.UTC(year, month - 1, day);
  const date = new Date(ms);
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day ? ms / 86_400_000 : null;
}

function parseDay(text: string): { days: number; time: string | null } | null {
  const iso = isoDate.exec(text.trim());
  if (iso) {
    const days = dayNumber(Number(iso[1]), Number(iso[2]), Number(iso[3]));
    return days === null ? null : { days, time: iso[4]?.trim() || null };
  }
  // DD/MM/YY means 19YY (FITS Standard 4.0, section 4.4.2.1).
  const old = oldDate.exec(text.trim());
  const days = old ? dayNumber(1900 + Number(old[3]), Number(old[2]), Number(old[1])) : null;
  return days === null ? null : { days, time: null };
}

/** Milliseconds since midnight UTC; a zone offset is taken off; a leap second (60) runs into the next minute. */
function parseClock(text: string): number | null {
  const match = clock.exec(text.trim());
  if (!match) return null;
  const [, h, m, s, zone] = match;
  const seconds = Number((s ?? '0').replace(',', '.'));
  if (Number(h) > 24 || Number(m) > 59 || seconds >= 61) return null;
  let ms = (Number(h) * 3600 + Number(m) * 60 + seconds) * 1000;
  if (zone && /^[+-]/.test(zone)) {
    const minutes = Number(zone.slice(1, 3)) * 60 + Number(zone.slice(-2));
    ms += (zone[0] === '-' ? 1 : -1) * minutes * 60_000;
  }
  return Math.round(ms);
}

function toIso(days: number, ms: number): string {
  return new Date(days * 86_400_000 + ms).toISOString();
}

const timeKeywords = [
  'TIME-OBS',
  'TIME_OBS',
  'UTSTART',
  'UTC-OBS',
  'UTCSTART',
  'UT-START',
  'UT',
  'UTC',
  'UTIME',
  'UT-OBS',
  'TIME-BEG',
  'UTSHUT',
  'TM-START',
];

/** DATE-OBS or a kin of it, joined with a separate time of day when it has none. */
function fromDateCard(header: Header, keyword: string): Found | { readonly problem: string } | null {
  const value = header.get(keyword);
  if (typeof value !== 'string' || value.trim() === '') return null;
  const day = parseDay(value);
  if (!day) return { problem: `${keyword} = '${value}' is no date` };
  if (day.time !== null) {
    const ms = parseClock(day.time);
    return ms === null
      ? { problem: `${keyword} = '${value}' has no readable time` }
      : { iso: toIso(day.days, ms), source: keyword };
  }
  for (const timeKeyword of timeKeywords) {
    const time = header.get(timeKeyword);
    if (typeof time === 'string' && time.trim() !== '') {
      const ms = parseClock(time);
      if (ms !== null) return { iso: toIso(day.days, ms), source: `${keyword}+${timeKeyword}` };
    } else if (typeof time === 'number' && /^TM|^UTSHUT/.test(timeKeyword) && time >= 0 && time < 86400) {
      return { iso: toIso(day.days, time * 1000), source: `${keyword}+${timeKeyword}` };
    }
  }
  return { problem: `${keyword} = '${value}' holds no time of day, and no other card does` };
}

const MJD_OF_1970 = 40587;

function fromDayCount(
  header: Header,
  keyword: string,
  offsetDays: number,
  shiftSeconds: number,
): Found | null {
  const raw = header.get(keyword);
  const value = typeof raw === 'string' ? Number(raw.trim() || NaN) : header.number(keyword);
  if (value === null || !Number.isFinite(value)) return null;
  const mjd = value - offsetDays;
  // 1900 to 2150: a count outside is another kind of number.
  if (mjd < 15020 || mjd > 106331) return null;
  const ms = Math.round((mjd - MJD_OF_1970) * 86_400_000 + shiftSeconds * 1000);
  return { iso: new Date(ms).toISOString(), source: keyword };
}

/**
 * Start of the exposure, ISO 8601 UTC with milliseconds: DATE-OBS (with TIME-OBS, UT, ... when it holds only the day),
 * DATE-BEG, MJD-OBS, MJD-BEG, DATE-AVG less half the exposure, JD when its comment speaks of the start. Else the reason.
 */
export function readStartOfExposure(
  header: Header,
  exposureSeconds: number | null,
): Found | { readonly problem: string } {
  let problem: string | null = null;
  for (const keyword of ['DATE-OBS', 'DATE_OBS', 'DATE-BEG', 'DATEOBS', 'UTDATE', 'UT-DATE']) {
    const found = fromDateCard(header, keyword);
    if (found && 'iso' in found) return found;
    problem ??= found?.problem ?? null;
  }
  for (const keyword of ['MJD-OBS', 'MJD_OBS', 'MJD-BEG', 'MJDSTART']) {
    const found = fromDayCount(header, keyword, 0, 0);
    if (found) return found;
  }
  const average = fromDateCard(header, 'DATE-AVG');
  if (average && 'iso' in average && exposureSeconds !== null) {
    const ms = Date.parse(average.iso) - exposureSeconds * 500;
    return { iso: new Date(ms).toISOString(), source: 'DATE-AVG' };
  }
  const middle = exposureSeconds === null ? null : fromDayCount(header, 'MJD-AVG', 0, -exposureSeconds / 2);
  if (middle) return middle;
  if (/start|begin/i.test(header.card('JD')?.comment ?? '')) {
    const found = fromDayCount(header, 'JD', 2_400_000.5, 0);
    if (found) return found;
  }
  return { problem: problem ?? 'no DATE-OBS or other card with the start of the exposure' };
}
