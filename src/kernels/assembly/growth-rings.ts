import { lanesBelow, sum4 } from './lanes';

/** Value, slopes and second derivatives of the light at one pixel, see `expand`. */
let centre: f32 = 0;
let slopeX: f32 = 0;
let slopeY: f32 = 0;
let curveX: f32 = 0;
let curveXY: f32 = 0;
let curveY: f32 = 0;

function at4(values: usize, k: i32): f32 {
  return load<f32>(values + ((<usize>k) << 2));
}

/** Light about pixel (i, j) from the nearest pixels of the same kind; flat at the window's border or beside a pixel that may not be used. */
function expand(values: usize, usable: usize, width: i32, height: i32, i: i32, j: i32, isMosaic: bool): void {
  const k = j * width + i;
  const v = at4(values, k);
  centre = v;
  slopeX = slopeY = curveX = curveXY = curveY = 0;
  if (i == 0 || j == 0 || i == width - 1 || j == height - 1) return;
  const ll = at4(values, k - width - 1);
  const lr = at4(values, k - width + 1);
  const ul = at4(values, k + width - 1);
  const ur = at4(values, k + width + 1);
  if (isMosaic) {
    // Greens touch at their corners: slopes and the mean curvature from the diagonals.
    curveXY = (ll + ur - lr - ul) / 4;
    slopeX = (lr + ur - ll - ul) / 4;
    slopeY = (ul + ur - ll - lr) / 4;
    curveX = (ll + lr + ul + ur - 4 * v) / 4;
    curveY = curveX;
    return;
  }
  const isOpen =
    load<u8>(usable + k - 1) &&
    load<u8>(usable + k + 1) &&
    load<u8>(usable + k - width) &&
    load<u8>(usable + k + width);
  if (!isOpen) return;
  const left = at4(values, k - 1);
  const right = at4(values, k + 1);
  const down = at4(values, k - width);
  const up = at4(values, k + width);
  curveXY = (ll + ur - lr - ul) / 4;
  slopeX = (right - left) / 2;
  slopeY = (up - down) / 2;
  curveX = right + left - 2 * v;
  curveY = up + down - 2 * v;
}

function add(flux: usize, area: usize, bin: i32, steps: i32, light: f32, part: f32): void {
  if (bin >= steps) return;
  const at = (<usize>bin) << 3;
  store<f64>(flux + at, load<f64>(flux + at) + <f64>light);
  if (area != 0) store<f64>(area + at, load<f64>(area + at) + <f64>part);
}

/** Whether four pixels from number k on, and the four nearest neighbours of each, may all be used. */
function areOpen(usable: usize, width: i32, k: i32): bool {
  const at = usable + k;
  return (
    load<u32>(at) == 0x01010101 &&
    load<u32>(at - width) == 0x01010101 &&
    load<u32>(at + width) == 0x01010101 &&
    load<u8>(at - 1) != 0 &&
    load<u8>(at + 4) != 0
  );
}

/** Mean light over each of four pixels in a row, as `expand` has it for one. */
function wholePixels(values: usize, width: i32, k: i32): v128 {
  const at = values + ((<usize>k) << 2);
  const row = (<usize>width) << 2;
  const v = v128.load(at);
  const beside = f32x4.add(
    f32x4.add(v128.load(at - 4), v128.load(at + 4)),
    f32x4.add(v128.load(at - row), v128.load(at + row)),
  );
  const curve = f32x4.sub(beside, f32x4.mul(v, f32x4.splat(4)));
  return f32x4.add(v, f32x4.mul(curve, f32x4.splat(<f32>1 / 24)));
}

/** Half the diagonal of a pixel, and a little for rounding. */
const CORNER: f64 = 0.7073;

/**
 * Light and area in `steps` rings of width `step` about (x, y), in the window's own columns and rows: doubles added to `flux` and `area`. Pixels are cut into 7 x 7, 4 x 4 or 2 x 2 pieces
 * (nearer than 3 px, 8 px, beyond), each with the light of a second-order expansion from the pixel's neighbours; see `measureGrowth`. `area` 0: no areas.
 */
export function growthRings(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  radius: f64,
  step: f64,
  steps: i32,
  pedestal: f64,
  isMosaic: bool,
  flux: usize,
  area: usize,
): void {
  const reach = radius + 0.75;
  const isOneSum = steps == 1 && area == 0;
  const perRing = 1 / step;
  const perStep = f32x4.splat(<f32>perRing);
  const pedestal4 = f32x4.splat(<f32>pedestal);
  /** Pixels nearer than this lie inside the circle whole, and need not be cut for one sum. */
  const within = isOneSum && !isMosaic ? radius - CORNER : -1;
  let sum = f32x4.splat(0);
  for (let j = 0; j < height; j += 1) {
    const dy = <f64>j - y;
    if (Math.abs(dy) > reach) continue;
    const half = Math.sqrt(reach * reach - dy * dy);
    const last = min(width - 1, <i32>Math.floor(x + half));
    let wholeFrom = 1;
    let wholeTo = 0;
    if (Math.abs(dy) < within && j > 0 && j < height - 1) {
      const halfWhole = Math.sqrt(within * within - dy * dy);
      wholeFrom = max(1, <i32>Math.ceil(x - halfWhole));
      wholeTo = min(width - 2, <i32>Math.floor(x + halfWhole));
    }
    for (let i = max(0, <i32>Math.ceil(x - half)); i <= last; i += 1) {
      if (i >= wholeFrom && i + 3 <= wholeTo && areOpen(usable, width, j * width + i)) {
        sum = f32x4.add(sum, f32x4.sub(wholePixels(values, width, j * width + i), pedestal4));
        i += 3;
        continue;
      }
      const dx = <f64>i - x;
      const r = Math.sqrt(dx * dx + dy * dy);
      if (r > reach || load<u8>(usable + j * width + i) == 0) continue;
      expand(values, usable, width, height, i, j, isMosaic);
      const ring = <i32>Math.floor((r + CORNER) * perRing);
      if (ring == 0 || (r > CORNER && ring == <i32>Math.floor((r - CORNER) * perRing))) {
        // All of the pixel in one ring: its pieces add up to this.
        add(flux, area, ring, steps, centre + (curveX + curveY) / 24 - <f32>pedestal, 1);
        continue;
      }
      // Near the centre a ring cuts a pixel in pieces; far out hardly.
      const cuts = r < 3 ? 7 : r < 8 ? 4 : 2;
      const part: f32 = <f32>1 / <f32>(cuts * cuts);
      const size: f32 = <f32>1 / <f32>cuts;
      // Midpoints of the pieces miss this much of the mean of a curved surface.
      const middle = centre + (curveX + curveY) * (part / 24) - <f32>pedestal;
      const fx = <f32>dx;
      const fy = <f32>dy;
      for (let b = 0; b < cuts; b += 1) {
        const oy = (<f32>b + <f32>0.5) * size - <f32>0.5;
        const sy2 = f32x4.splat((fy + oy) * (fy + oy));
        const across = f32x4.splat(middle + oy * (slopeY + <f32>0.5 * curveY * oy));
        const along = f32x4.splat(slopeX + curveXY * oy);
        for (let a = 0; a < cuts; a += 4) {
          const ox = f32x4.sub(
            f32x4.mul(f32x4.add(f32x4.splat(<f32>a + <f32>0.5), f32x4(0, 1, 2, 3)), f32x4.splat(size)),
            f32x4.splat(0.5),
          );
          const sx = f32x4.add(ox, f32x4.splat(fx));
          const distance = f32x4.sqrt(f32x4.add(f32x4.mul(sx, sx), sy2));
          const bins = i32x4.trunc_sat_f32x4_s(f32x4.mul(distance, perStep));
          const light = f32x4.mul(
            f32x4.add(across, f32x4.mul(ox, f32x4.add(along, f32x4.mul(ox, f32x4.splat(<f32>0.5 * curveX))))),
            f32x4.splat(part),
          );
          const rest = cuts - a;
          if (isOneSum) {
            const isIn = v128.and(i32x4.lt_s(bins, i32x4.splat(1)), lanesBelow(rest));
            sum = f32x4.add(sum, v128.and(light, isIn));
            continue;
          }
          add(flux, area, i32x4.extract_lane(bins, 0), steps, f32x4.extract_lane(light, 0), part);
          if (rest > 1)
            add(flux, area, i32x4.extract_lane(bins, 1), steps, f32x4.extract_lane(light, 1), part);
          if (rest > 2)
            add(flux, area, i32x4.extract_lane(bins, 2), steps, f32x4.extract_lane(light, 2), part);
          if (rest > 3)
            add(flux, area, i32x4.extract_lane(bins, 3), steps, f32x4.extract_lane(light, 3), part);
        }
      }
    }
  }
  if (isOneSum) store<f64>(flux, load<f64>(flux) + sum4(sum));
}
