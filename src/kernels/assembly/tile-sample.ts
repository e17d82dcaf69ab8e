import { load1 } from './lanes';

const GOLDEN: f64 = 0.6180339887498949;
/** Distance of the pixels looked at to judge a pixel's surroundings. */
const RING: i32 = 2;

/** Sum of the eight pixels `RING` columns or rows away, and how many of them have a value. */
let ringSum: f64 = 0;
let ringCount: i32 = 0;

function add<T>(at: usize): void {
  const v = load1<T>(at);
  if (v != v) return;
  ringSum += v;
  ringCount += 1;
}

/** Mean of the surroundings; NaN when all are blank. */
function surroundings<T>(at: usize, rowBytes: usize): f64 {
  const side = <usize>RING * sizeof<T>();
  const up = at + <usize>RING * rowBytes;
  const down = at - <usize>RING * rowBytes;
  ringSum = 0;
  ringCount = 0;
  add<T>(down - side);
  add<T>(down);
  add<T>(down + side);
  add<T>(at - side);
  add<T>(at + side);
  add<T>(up - side);
  add<T>(up);
  add<T>(up + side);
  return ringSum / <f64>ringCount;
}

/** Lower halves of four 32-bit lanes: the even ones of eight 16-bit pixels. */
function even(at: usize): v128 {
  return v128.and(v128.load(at), i32x4.splat(0xffff));
}

function gather<T>(
  pixels: usize,
  width: i32,
  height: i32,
  x0: i32,
  y0: i32,
  x1: i32,
  y1: i32,
  rowStep: i32,
  columnStep: i32,
  parity: i32,
  isQuiet: bool,
  r00: f64,
  gx: f64,
  gy: f64,
  dither: f64,
  out: usize,
): i32 {
  const rowBytes = <usize>width * sizeof<T>();
  const end = isQuiet ? min(x1, width - RING) : x1;
  let to = out;
  let phase: f64 = 0.5;
  let turn = 0;
  for (let y = y0; y < y1; y += rowStep) {
    let start = parity < 0 ? turn % columnStep : ((x0 + y + parity) & 1) + 2 * (turn % (columnStep >> 1));
    turn += 1;
    if (isQuiet && (y < RING || y >= height - RING)) continue;
    if (x0 + start >= x1) start = parity < 0 ? 0 : (x0 + y + parity) & 1;
    const row = pixels + <usize>y * rowBytes;
    const base = r00 + gy * <f64>(y - y0);
    let x = x0 + start;
    if (isQuiet) while (x < RING) x += columnStep;
    if (sizeof<T>() == 2 && columnStep == 2 && dither == 0) {
      // The commonest case: every other pixel of an integer row, four at a time. Whole numbers first, so that nothing is lost to rounding.
      const whole = Math.floor(base);
      const floor = i32x4.splat(<i32>whole);
      const step = f32x4.splat(<f32>(8 * gx));
      const first = base - whole + gx * <f64>(x - x0);
      let rest = f32x4(<f32>first, <f32>(first + 2 * gx), <f32>(first + 4 * gx), <f32>(first + 6 * gx));
      for (; x + 8 <= end - (isQuiet ? RING : 0); x += 8) {
        const at = row + ((<usize>x) << 1);
        const value = f32x4.sub(f32x4.convert_i32x4_s(i32x4.sub(even(at), floor)), rest);
        if (isQuiet) {
          const up = at + <usize>RING * rowBytes;
          const down = at - <usize>RING * rowBytes;
          const side = (<usize>RING) << 1;
          let ring = i32x4.add(even(at - side), even(at + side));
          ring = i32x4.add(ring, i32x4.add(even(down - side), even(down + side)));
          ring = i32x4.add(ring, i32x4.add(even(up - side), even(up + side)));
          ring = i32x4.add(ring, i32x4.add(even(up), even(down)));
          const above = f32x4.convert_i32x4_s(i32x4.sub(ring, i32x4.shl(floor, 3)));
          const chosen = i32x4.bitmask(f32x4.le(above, f32x4.mul(rest, f32x4.splat(8))));
          // Half of them are: stored all, and written over where not wanted, without a branch that nobody could foretell.
          store<f32>(to, f32x4.extract_lane(value, 0));
          to += (chosen & 1) << 2;
          store<f32>(to, f32x4.extract_lane(value, 1));
          to += (chosen & 2) << 1;
          store<f32>(to, f32x4.extract_lane(value, 2));
          to += chosen & 4;
          store<f32>(to, f32x4.extract_lane(value, 3));
          to += (chosen & 8) >> 1;
        } else {
          v128.store(to, value);
          to += 16;
        }
        rest = f32x4.add(rest, step);
      }
    }
    for (; x < end; x += columnStep) {
      const at = row + <usize>x * sizeof<T>();
      const v = load1<T>(at);
      if (v != v) continue;
      const reference = base + gx * <f64>(x - x0);
      if (isQuiet && surroundings<T>(at, rowBytes) > reference) continue;
      phase += GOLDEN;
      if (phase >= 1) phase -= 1;
      store<f32>(to, <f32>(<f64>v - reference + dither * (phase - 0.5)));
      to += 4;
    }
  }
  return <i32>((to - out) >> 2);
}

/**
 * Thinned sample of a rectangle of pixels, less the plane r00 + gx (x - x0) + gy (y - y0), as floats to `out`; returns how many. Blank pixels are left out;
 * `parity` >= 0: only pixels with (x + y) mod 2 equal to it. `isQuiet`: only pixels whose surroundings, the mean of the eight pixels two columns or rows away, are no brighter
 * than that plane. `dither` spreads the values evenly over a step of that size.
 */
export function gatherTile(
  pixels: usize,
  isFloat: bool,
  width: i32,
  height: i32,
  x0: i32,
  y0: i32,
  x1: i32,
  y1: i32,
  rowStep: i32,
  columnStep: i32,
  parity: i32,
  isQuiet: bool,
  r00: f64,
  gx: f64,
  gy: f64,
  dither: f64,
  out: usize,
): i32 {
  return isFloat
    ? gather<f32>(
        pixels,
        width,
        height,
        x0,
        y0,
        x1,
        y1,
        rowStep,
        columnStep,
        parity,
        isQuiet,
        r00,
        gx,
        gy,
        dither,
        out,
      )
    : gather<u16>(
        pixels,
        width,
        height,
        x0,
        y0,
        x1,
        y1,
        rowStep,
        columnStep,
        parity,
        isQuiet,
        r00,
        gx,
        gy,
        dither,
        out,
      );
}
