/**
 * The usable pixels of a window (row-major floats `values`, bytes `usable`) within `radius` of (x, y), in the window's own columns and rows: column, row and value less `pedestal` as
 * floats to three lines from `out`, `stride` floats apart. Returns how many.
 */
export function choosePixels(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  radius: f64,
  pedestal: f64,
  out: usize,
  stride: i32,
): i32 {
  const line = (<usize>stride) << 2;
  const limit = radius * radius;
  const i0 = max(0, <i32>Math.ceil(x - radius));
  const i1 = min(width - 1, <i32>Math.floor(x + radius));
  const j0 = max(0, <i32>Math.ceil(y - radius));
  const j1 = min(height - 1, <i32>Math.floor(y + radius));
  let at = out;
  for (let j = j0; j <= j1; j += 1) {
    const dy = <f64>j - y;
    for (let i = i0; i <= i1; i += 1) {
      const dx = <f64>i - x;
      const k = <usize>(j * width + i);
      if (load<u8>(usable + k) == 0 || dx * dx + dy * dy > limit) continue;
      store<f32>(at, <f32>i);
      store<f32>(at + line, <f32>j);
      store<f32>(at + 2 * line, <f32>(<f64>load<f32>(values + (k << 2)) - pedestal));
      at += 4;
    }
  }
  return <i32>((at - out) >> 2);
}
