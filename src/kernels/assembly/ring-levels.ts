import { median } from './order-statistics';

/** Mean of `count` floats within three spreads of their median (a median alone would stick to the steps of coarse integers); uses `room` and `more` for as many floats. NaN for fewer than four. */
function level(from: usize, count: i32, noise: f64, room: usize, more: usize): f64 {
  if (count < 4) return NaN;
  const bytes = (<usize>count) << 2;
  memory.copy(room, from, bytes);
  const centre = median(room, count);
  let farthest = 0.0;
  for (let at: usize = 0; at < bytes; at += 4) {
    const distance = Math.abs(<f64>load<f32>(room + at) - centre);
    farthest = max(farthest, distance);
    store<f32>(more + at, <f32>distance);
  }
  // The spread need not be known where the noise alone lets all of them in.
  const reach = 3 * (farthest <= 3 * noise ? noise : max(noise, 1.4826 * median(more, count)));
  let sum = 0.0;
  let n = 0;
  for (let at: usize = 0; at < bytes; at += 4) {
    const v = <f64>load<f32>(room + at);
    if (Math.abs(v - centre) > reach) continue;
    sum += v;
    n += 1;
  }
  return sum / n;
}

/** Notes that pixel k belongs to a ring, or to the last place, for those that belong nowhere; counts it one place on. */
function place(usable: usize, places: usize, starts: usize, rings: i32, k: i32, ring: i32): void {
  const at = ring > rings || load<u8>(usable + k) == 0 ? rings : max(0, ring);
  store<u8>(places + k, <u8>at);
  const count = starts + ((<usize>(at + 1)) << 2);
  store<i32>(count, load<i32>(count) + 1);
}

/**
 * Levels of the rings about (x, y), in the window's own columns and rows: ring 0 within `first` units of `unit` pixels, the others 1 / `perUnit` units wide, beyond the last one nothing.
 * To `out` a double a ring, and behind them that of the outermost `outer` rings together: means of usable pixels near their median, NaN for fewer than four.
 *
 * Work room: `places` a byte a pixel, `sorted`, `room` and `more` a float a pixel and three, `starts` rings + 2 integers.
 */
export function ringLevels(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  unit: f64,
  first: f64,
  perUnit: f64,
  rings: i32,
  outer: i32,
  noise: f64,
  places: usize,
  sorted: usize,
  room: usize,
  more: usize,
  starts: usize,
  out: usize,
): void {
  memory.fill(starts, 0, (<usize>(rings + 2)) << 2);
  const scale = f64x2.splat(perUnit / unit);
  const inside = f64x2.splat(first * perUnit);
  for (let j = 0; j < height; j += 1) {
    const dy2 = f64x2.splat((<f64>j - y) * (<f64>j - y));
    for (let i = 0; i < width; i += 2) {
      const dx = f64x2.add(f64x2.splat(<f64>i - x), f64x2(0, 1));
      const r = f64x2.sqrt(f64x2.add(f64x2.mul(dx, dx), dy2));
      const ring2 = i32x4.trunc_sat_f64x2_s_zero(f64x2.ceil(f64x2.sub(f64x2.mul(r, scale), inside)));
      const k = j * width + i;
      place(usable, places, starts, rings, k, i32x4.extract_lane(ring2, 0));
      if (i + 1 < width) place(usable, places, starts, rings, k + 1, i32x4.extract_lane(ring2, 1));
    }
  }
  for (let ring = 1; ring < rings + 2; ring += 1) {
    const at = starts + ((<usize>ring) << 2);
    store<i32>(at, load<i32>(at) + load<i32>(at - 4));
  }
  // Each ring's start moves on to the next one's while its pixels are put there: afterwards ring k begins where k - 1 has got to.
  for (let k = 0; k < width * height; k += 1) {
    const at = starts + ((<usize>load<u8>(places + k)) << 2);
    const to = load<i32>(at);
    store<i32>(at, to + 1);
    store<f32>(sorted + ((<usize>to) << 2), load<f32>(values + ((<usize>k) << 2)));
  }
  let begin = 0;
  for (let ring = 0; ring < rings; ring += 1) {
    const end = load<i32>(starts + ((<usize>ring) << 2));
    store<f64>(
      out + ((<usize>ring) << 3),
      level(sorted + ((<usize>begin) << 2), end - begin, noise, room, more),
    );
    begin = end;
  }
  const from = rings > outer ? load<i32>(starts + ((<usize>(rings - outer - 1)) << 2)) : 0;
  store<f64>(
    out + ((<usize>rings) << 3),
    level(sorted + ((<usize>from) << 2), begin - from, noise, room, more),
  );
}
