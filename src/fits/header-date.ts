import type { Header } from './header.js';
import { utcFrom } from './time-system.js';

interface Found {
  readonly iso: string;
  readonly source: string;
}

const isoDate = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:[T\s]+(.*))?$/i;
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
    const days = dayNumber(Number(iso[1]), Number(iso[3]), Number(iso[4]));
    return days === null ? null : { days, time: iso[5]?.trim() || null };
  }
  // DD/MM/YY means 19YY (FITS Standard 4.0, section 4.4.2.1); before 1970 there was no such camera: written by a program that missed the turn of the century.
  const old = oldDate.exec(text.trim());
  const days = old
    ? dayNumber((Number(old[3]) < 70 ? 2000 : 1900) + Number(old[3]), Number(old[2]), Number(old[1]))
    : null;
  return days === null ? null : { days, time: null };
}

/** A time of day in milliseconds, in UTC when the text names a zone (an offset is taken off). */
interface Clock {
  readonly ms: number;
  readonly isUtc: boolean;
}

/** A leap second (60) runs into the next minute. */
function parseClock(text: string): Clock | null {
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
  return { ms: Math.round(ms), isUtc: zone !== undefined };
}

/** A date and time of the header's TIMESYS (default UTC) as found; a text that names its zone is taken at its word. */
function foundAt(
  header: Header,
  ms: number,
  isUtc: boolean,
  source: string,
): Found | { readonly problem: string } {
  const system = header.text('TIMESYS') ?? '';
  const utc = isUtc ? ms : utcFrom(system, ms);
  if (utc === null) return { problem: `${source} counts in TIMESYS = '${system}', which is not tied to UTC` };
  const plain = utc === ms;
  return { iso: new Date(utc).toISOString(), source: plain ? source : `${source} (from ${system.trim()})` };
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
  const midnight = day.days * 86_400_000;
  if (day.time !== null) {
    const time = parseClock(day.time);
    return time === null
      ? { problem: `${keyword} = '${value}' has no readable time` }
      : foundAt(header, midnight + time.ms, time.isUtc, keyword);
  }
  for (const timeKeyword of timeKeywords) {
    const text = header.get(timeKeyword);
    const source = `${keyword}+${timeKeyword}`;
    if (typeof text === 'string' && text.trim() !== '') {
      const time = parseClock(text);
      // A keyword that says UT means it.
      if (time !== null)
        return foundAt(header, midnight + time.ms, time.isUtc || /^UT/.test(timeKeyword), source);
    } else if (typeof text === 'number' && /^TM|^UTSHUT/.test(timeKeyword) && text >= 0 && text < 86400) {
      return foundAt(header, midnight + text * 1000, /^UT/.test(timeKeyword), source);
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
  const found = foundAt(header, ms, false, keyword);
  return 'iso' in found ? found : null;
}

/** Zones are whole quarters of an hour from UTC; less than half an hour is a middle of the exposure or a clock that is off. */
const QUARTER_MS = 900_000;
const CLOCK_SLACK_MS = 60_000;

/**
 * DATE-OBS in local time: it differs from the day count (UTC by convention) by whole quarters of an hour, and not by half the exposure or all of it.
 * Then the day count is right.
 */
function unlessLocal(found: Found, header: Header, exposureSeconds: number | null): Found {
  for (const keyword of ['MJD-OBS', 'MJD_OBS', 'MJD-BEG', 'MJDSTART']) {
    const count = fromDayCount(header, keyword, 0, 0);
    if (!count) continue;
    const ahead = Date.parse(found.iso) - Date.parse(count.iso);
    const quarters = Math.round(ahead / QUARTER_MS);
    const exposureMs = (exposureSeconds ?? 0) * 1000;
    const near = (ms: number): boolean => Math.abs(Math.abs(ahead) - ms) <= CLOCK_SLACK_MS;
    const isZone =
      Math.abs(quarters) >= 2 && Math.abs(quarters) <= 56 && near(Math.abs(quarters) * QUARTER_MS);
    if (!isZone || near(exposureMs) || near(exposureMs / 2)) return found;
    const hours = Math.abs(quarters) / 4;
    const words = `${found.source} is ${hours} h ${quarters > 0 ? 'ahead' : 'behind'}: local time`;
    return { iso: count.iso, source: `${keyword} (${words})` };
  }
  return found;
}

/**
 * Start of the exposure, ISO 8601 UTC with milliseconds: DATE-OBS (with TIME-OBS, UT, ... when it holds only the day),
 * DATE-BEG, MJD-OBS, MJD-BEG, DATE-AVG less half the exposure, JD when its comment speaks of the start; other time systems are turned into UTC
 * (TIMESYS), and a DATE-OBS that is a zone away from MJD-OBS is local time. Else the reason.
 */
export function readStartOfExposure(
  header: Header,
  exposureSeconds: number | null,
): Found | { readonly problem: string } {
  let problem: string | null = null;
  for (const keyword of ['DATE-OBS', 'DATE_OBS', 'DATE-BEG', 'DATEOBS', 'UTDATE', 'UT-DATE']) {
    const found = fromDateCard(header, keyword);
    if (found && 'iso' in found) return unlessLocal(found, header, exposureSeconds);
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
