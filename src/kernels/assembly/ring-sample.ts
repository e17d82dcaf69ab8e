/**
 * Every `stride`-th usable pixel of a window at a squared distance of low..high from (x, y), in the window's own columns and rows, to `out`; at most `most`, returns how many.
 */
export function ringSample(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  low: f64,
  high: f64,
  stride: i32,
  most: i32,
  out: usize,
): i32 {
  let n = 0;
  let turn = 0;
  for (let j = 0; j < height; j += 1) {
    const dy2 = (<f64>j - y) * (<f64>j - y);
    if (dy2 > high) continue;
    const half = Math.sqrt(high - dy2);
    const last = min(width - 1, <i32>Math.ceil(x + half));
    for (let i = max(0, <i32>Math.floor(x - half)); i <= last; i += 1) {
      const dx = <f64>i - x;
      const r2 = dx * dx + dy2;
      if (r2 < low || r2 > high) continue;
      const at = j * width + i;
      if (load<u8>(usable + at) == 0) continue;
      turn += 1;
      if (turn < stride) continue;
      turn = 0;
      if (n >= most) return n;
      store<f32>(out + ((<usize>n) << 2), load<f32>(values + ((<usize>at) << 2)));
      n += 1;
    }
  }
  return n;
}
