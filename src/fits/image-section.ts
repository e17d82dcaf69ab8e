import type { Header } from './header.js';

/** A rectangle of stored pixels, 0-based. */
export interface ImageSection {
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
  /** The card it follows from, as it stands in the header. */
  readonly source: string;
}

/** Fewest pixels along a side that are worth measuring. */
const MIN_SIDE_PX = 8;
/** An overscan strip that BIASSEC gives alone lies this near to the image's border, px, ... */
const NEAR_BORDER_PX = 32;
/** ... takes at most this part of its width, and at least that part of its height. */
const MOST_OF_WIDTH = 0.25;
const LEAST_OF_HEIGHT = 0.8;

type Span = readonly [first: number, last: number];

/** `[x1:x2,y1:y2]` counted from 1, ends included, either end first; null when it is none. */
function parseSection(header: Header, keyword: string): readonly [x: Span, y: Span] | null {
  const match = /^\s*\[\s*(\d+)\s*:\s*(\d+)\s*,\s*(\d+)\s*:\s*(\d+)\s*\]\s*$/.exec(
    header.text(keyword) ?? '',
  );
  if (!match) return null;
  const [a, b, c, d] = match.slice(1).map(Number) as [number, number, number, number];
  return [
    [Math.min(a, b), Math.max(a, b)],
    [Math.min(c, d), Math.max(c, d)],
  ];
}

/**
 * What is left of an axis of `length` pixels before a strip near its end; null when the strip lies elsewhere. One near the start may as well
 * have been trimmed away already: it proves nothing.
 */
function before([first, last]: Span, length: number): Span | null {
  const near = last <= length && length - last <= NEAR_BORDER_PX;
  return near && last - first + 1 <= MOST_OF_WIDTH * length ? [1, first - 1] : null;
}

function beforeOverscan(header: Header, width: number, height: number): readonly [x: Span, y: Span] | null {
  const strip = parseSection(header, 'BIASSEC');
  if (!strip) return null;
  const [x, y] = strip;
  const along = ([first, last]: Span, length: number): boolean =>
    last <= length && last - first + 1 >= LEAST_OF_HEIGHT * length;
  const columns = along(y, height) ? before(x, width) : null;
  if (columns) return [columns, [1, height]];
  const rows = along(x, width) ? before(y, height) : null;
  return rows ? [[1, width], rows] : null;
}

/**
 * The part of an image that light fell on: TRIMSEC, else DATASEC, else what BIASSEC leaves (IRAF's section keywords, in stored pixels). Null when
 * the whole image is meant, and when a section does not fit the image: then all stem from before it was trimmed or binned.
 */
export function lightSection(header: Header, width: number, height: number): ImageSection | null {
  const keyword = ['TRIMSEC', 'DATASEC', 'BIASSEC'].find((name) => parseSection(header, name) !== null);
  if (keyword === undefined) return null;
  const section =
    keyword === 'BIASSEC' ? beforeOverscan(header, width, height) : parseSection(header, keyword);
  if (!section) return null;
  const [[x1, x2], [y1, y2]] = section;
  if (x1 < 1 || y1 < 1 || x2 > width || y2 > height) return null;
  const size = { width: x2 - x1 + 1, height: y2 - y1 + 1 };
  if (size.width < MIN_SIDE_PX || size.height < MIN_SIDE_PX) return null;
  if (size.width === width && size.height === height) return null;
  const text = header.text(keyword)!.replace(/\s/g, '');
  return { x0: x1 - 1, y0: y1 - 1, ...size, source: `${keyword} = '${text}'` };
}
