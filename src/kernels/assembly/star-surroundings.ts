/**
 * Take from use the pixels of a window that lie nearer to a neighbour than to the star at (x, y), and within the neighbour's reach. `neighbours`: `count` triples of doubles, place (x, y) in the
 * window's own columns and rows, and reach.
 */
export function maskNeighbours(
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  neighbours: usize,
  count: i32,
): void {
  for (let n = 0; n < count; n += 1) {
    const at = neighbours + 24 * <usize>n;
    const nx = load<f64>(at);
    const ny = load<f64>(at + 8);
    const reach = load<f64>(at + 16);
    const i0 = max(0, <i32>Math.ceil(nx - reach));
    const i1 = min(width - 1, <i32>Math.floor(nx + reach));
    const j1 = min(height - 1, <i32>Math.floor(ny + reach));
    for (let j = max(0, <i32>Math.ceil(ny - reach)); j <= j1; j += 1) {
      for (let i = i0; i <= i1; i += 1) {
        const toNeighbour = (<f64>i - nx) * (<f64>i - nx) + (<f64>j - ny) * (<f64>j - ny);
        if (toNeighbour > reach * reach) continue;
        const toStar = (<f64>i - x) * (<f64>i - x) + (<f64>j - y) * (<f64>j - y);
        if (toNeighbour < toStar) store<u8>(usable + j * width + i, 0);
      }
    }
  }
}

/**
 * The pixels within `radius` of (x, y), in the window's own columns and rows: to `out` two doubles, the highest value of those that may be used (minus infinity for none), and the number of those that may
 * not and read 0, as blank ones do.
 */
export function innerPixels(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  radius: f64,
  out: usize,
): void {
  let highest: f64 = -Infinity;
  let zeros = 0;
  const i0 = max(0, <i32>Math.ceil(x - radius));
  const i1 = min(width - 1, <i32>Math.floor(x + radius));
  const j1 = min(height - 1, <i32>Math.floor(y + radius));
  for (let j = max(0, <i32>Math.ceil(y - radius)); j <= j1; j += 1) {
    const dy = <f64>j - y;
    for (let i = i0; i <= i1; i += 1) {
      const dx = <f64>i - x;
      if (dx * dx + dy * dy > radius * radius) continue;
      const k = j * width + i;
      const v = <f64>load<f32>(values + ((<usize>k) << 2));
      if (load<u8>(usable + k)) highest = max(highest, v);
      else if (v == 0) zeros += 1;
    }
  }
  store<f64>(out, highest);
  store<f64>(out + 8, <f64>zeros);
}
