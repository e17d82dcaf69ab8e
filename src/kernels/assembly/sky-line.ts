/** Place between two tiles, no farther than half a tile beyond the centres of the outer ones. */
function fraction(position: f64, index: i32): f64 {
  return max(<f64>-0.5, min(<f64>1.5, position - <f64>index));
}

function tileAt(position: f64, tiles: i32): i32 {
  return max(0, min(tiles - 2, <i32>Math.floor(position)));
}

/**
 * A map of tiles (floats, row-major) read along a line, straight between tile centres: `count` floats to `out`.
 * Places in tiles from the centre of the first: `down` the rows, `across` for the first reading, `step` farther for each of the others. See `interpolateTiles` of the image folder.
 */
export function tileLine(
  tiles: usize,
  columns: i32,
  rows: i32,
  down: f64,
  across: f64,
  step: f64,
  count: i32,
  out: usize,
): void {
  const j = tileAt(down, rows);
  const t = <f32>fraction(down, j);
  const row = tiles + ((<usize>(j * columns)) << 2);
  const up = rows > 1 ? (<usize>columns) << 2 : 0;
  const right: usize = columns > 1 ? 4 : 0;
  for (let k = 0; k < count; k += 1) {
    const position = across + step * <f64>k;
    const i = tileAt(position, columns);
    const s = <f32>fraction(position, i);
    const at = row + ((<usize>i) << 2);
    const lowLeft = load<f32>(at);
    const low = lowLeft + s * (load<f32>(at + right) - lowLeft);
    const highLeft = load<f32>(at + up);
    const high = highLeft + s * (load<f32>(at + up + right) - highLeft);
    store<f32>(out, low + t * (high - low));
    out += 4;
  }
}

/**
 * level + factor x noise along a line of `count` readings: floats to `out`, or whole numbers of 16 bits (cut to their range; v > limit says the same for whole v).
 */
export function limitLine(
  levels: usize,
  noises: usize,
  count: i32,
  factor: f64,
  isFloat: bool,
  out: usize,
): void {
  for (let k = 0; k < count; k += 1) {
    const at = (<usize>k) << 2;
    const limit = load<f32>(levels + at) + <f32>factor * load<f32>(noises + at);
    if (isFloat) store<f32>(out + at, limit);
    else store<u16>(out + ((<usize>k) << 1), <u16>max(<f32>0, min(<f32>65535, limit)));
  }
}
