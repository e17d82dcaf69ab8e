import { median } from 'simple-statistics';
import { scaleUtc } from 'd3-scale';
import { html, type SafeHtml } from '../html.js';
import { clock, day, duration } from '../numbers.js';
import { at, type Area } from './svg.js';

/** Where the frames stand along a plot: by time with long gaps cut short, or by number when a frame has no time. */
export interface TimeAxis {
  readonly kind: 'time' | 'number';
  /** Horizontal place of each frame, in the order given. */
  readonly x: readonly number[];
  readonly gaps: readonly { readonly left: number; readonly right: number; readonly label: string }[];
  readonly ticks: readonly { readonly x: number; readonly label: string }[];
  /** Space between neighbouring frames, user units (the narrowest that a frame may claim). */
  readonly pitch: number;
}

/** A pause is called a gap when it is this many times the usual spacing, and at least half an hour. */
const GAP_FACTOR = 5;
const MIN_GAP_MS = 30 * 60_000;
const DAY_MS = 24 * 60 * 60_000;
const GAP_WIDTH = 22;
const LABEL_ROOM = 44;

/**
 * Lay frames out along `area`; `times` in ms since 1970, rising, null where a header has no time.
 * One frame stands in the middle. Any null: by number.
 */
export function timeAxis(times: readonly (number | null)[], area: Area): TimeAxis {
  const known = times.filter((time): time is number => time !== null);
  return known.length < times.length || known.length < 2 ? byNumber(times, area) : byTime(known, area);
}

function byNumber(times: readonly (number | null)[], area: Area): TimeAxis {
  const n = times.length;
  const pitch = area.width / Math.max(1, n);
  const x = times.map((_, i) => area.left + (i + 0.5) * pitch);
  const step = Math.max(1, Math.ceil((n * LABEL_ROOM) / area.width));
  const only = n === 1 && times[0] !== null ? clock(new Date(times[0]!).toISOString()) : null;
  const ticks = x.flatMap((place, i) => (i % step === 0 ? [{ x: place, label: only ?? String(i + 1) }] : []));
  return { kind: only ? 'time' : 'number', x, gaps: [], ticks, pitch };
}

interface Session {
  readonly start: number;
  readonly end: number;
  readonly left: number;
  readonly right: number;
}

function byTime(times: readonly number[], area: Area): TimeAxis {
  const steps = times.slice(1).map((time, i) => time - times[i]!);
  const usual = Math.max(1000, median(steps));
  const limit = Math.max(MIN_GAP_MS, GAP_FACTOR * usual);
  const sessions = layOutSessions(times, steps, limit, usual, area);
  const x = times.map((time) => {
    const session = sessions.find((s) => time <= s.end) ?? sessions[sessions.length - 1]!;
    return place(session, time);
  });
  const gaps = sessions.slice(1).map((session, i) => ({
    left: sessions[i]!.right,
    right: session.left,
    label: duration((session.start - sessions[i]!.end) / 1000),
  }));
  const total = sessions.reduce((sum, s) => sum + (s.end - s.start), 0);
  const open = sessions.reduce((sum, s) => sum + (s.right - s.left), 0);
  return {
    kind: 'time',
    x,
    gaps,
    ticks: ticksOf(sessions),
    pitch: Math.min(open / times.length, (open * usual) / (total + usual)),
  };
}

/** Cut the night where it pauses; each session gets room in proportion to its length, each pause a narrow band. */
function layOutSessions(
  times: readonly number[],
  steps: readonly number[],
  limit: number,
  usual: number,
  area: Area,
): Session[] {
  const bounds: [number, number][] = [[times[0]!, times[0]!]];
  steps.forEach((step, i) => {
    if (step > limit) bounds.push([times[i + 1]!, times[i + 1]!]);
    else bounds[bounds.length - 1]![1] = times[i + 1]!;
  });
  const gapWidth = Math.min(GAP_WIDTH, (area.width * 0.4) / Math.max(1, bounds.length - 1));
  const open = area.width - gapWidth * (bounds.length - 1);
  const spans = bounds.map(([start, end]) => end - start + usual);
  const total = spans.reduce((sum, span) => sum + span, 0);
  let left = area.left;
  return bounds.map(([start, end], i) => {
    const right = left + (open * spans[i]!) / total;
    const session = { start: start - usual / 2, end: end + usual / 2, left, right };
    left = right + gapWidth;
    return session;
  });
}

function place(session: Session, time: number): number {
  return (
    session.left + ((time - session.start) / (session.end - session.start)) * (session.right - session.left)
  );
}

function ticksOf(sessions: readonly Session[]): { x: number; label: string }[] {
  const severalNights = sessions[sessions.length - 1]!.end - sessions[0]!.start > 2 * DAY_MS;
  const ticks: { x: number; label: string }[] = [];
  let free = -Infinity;
  for (const session of sessions) {
    const width = session.right - session.left;
    const wanted = Math.max(1, Math.floor(width / (LABEL_ROOM * 1.6)));
    const oneNight = session.end - session.start < DAY_MS;
    const candidates =
      severalNights && oneNight
        ? [new Date((session.start + session.end) / 2)]
        : scaleUtc([new Date(session.start), new Date(session.end)], [0, 1]).ticks(wanted);
    for (const date of candidates) {
      const x = place(session, date.getTime());
      if (x < free) continue;
      const iso = date.toISOString();
      const label = severalNights ? day(iso).slice(5) : clock(iso);
      // A night with a pause is two sessions of one date; ticks of a few minutes may fall within one.
      if (label === ticks[ticks.length - 1]?.label) continue;
      ticks.push({ x, label });
      free = x + LABEL_ROOM;
    }
  }
  return ticks;
}

/** The axis under an area: ticks, labels. */
export function drawTimeAxis(axis: TimeAxis, area: Area): SafeHtml {
  const y = area.top + area.height;
  return html`<g class="axis bottom"
    ><line
      class="rule"
      x1="${at(area.left)}"
      x2="${at(area.left + area.width)}"
      y1="${at(y)}"
      y2="${at(y)}"
    />${axis.ticks.map(
      (tick) =>
        html`<line class="rule" x1="${at(tick.x)}" x2="${at(tick.x)}" y1="${at(y)}" y2="${at(y + 4)}" /><text
            class="tick"
            x="${at(tick.x)}"
            y="${at(y + 16)}"
            text-anchor="middle"
            >${tick.label}</text
          >`,
    )}</g
  >`;
}

/** The bands where nothing was taken, over the height of an area. */
export function drawGaps(axis: TimeAxis, area: Area): SafeHtml {
  return html`${axis.gaps.map((gap) => html`<rect class="gap" x="${at(gap.left)}" y="${at(area.top)}" width="${at(gap.right - gap.left)}" height="${at(area.height)}" />`)}`;
}
