import { momentErrorSums, momentSums } from './star-moments';

/** A weight's place: its inverse tensor, and the columns and rows of the window within four sd of it; see `placeWeight`. */
let a: f64 = 0;
let b: f64 = 0;
let c: f64 = 0;
let i0: i32 = 0;
let i1: i32 = 0;
let j0: i32 = 0;
let j1: i32 = 0;

/** False for a tensor without an inverse. */
function placeWeight(width: i32, height: i32, x: f64, y: f64, xx: f64, xy: f64, yy: f64): bool {
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 0)) return false;
  a = yy / determinant;
  b = -xy / determinant;
  c = xx / determinant;
  const reachX = 4 * Math.sqrt(xx);
  const reachY = 4 * Math.sqrt(yy);
  i0 = max(0, <i32>Math.ceil(x - reachX));
  i1 = min(width - 1, <i32>Math.floor(x + reachX));
  j0 = max(0, <i32>Math.ceil(y - reachY));
  j1 = min(height - 1, <i32>Math.floor(y + reachY));
  return true;
}

/** The star as the weight shows it: how far its light's mean lies from the weight's centre, and its variance; see `look`. */
let sum: f64 = 0;
let dx: f64 = 0;
let dy: f64 = 0;
let starXX: f64 = 0;
let starXY: f64 = 0;
let starYY: f64 = 0;

/** Star x weight has a variance `product`; the star's own is (product^-1 - weight^-1)^-1. False without light or without a product. `sums`: room for six doubles. */
function look(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  xx: f64,
  xy: f64,
  yy: f64,
  pedestal: f64,
  sums: usize,
): bool {
  sum = 0;
  if (!placeWeight(width, height, x, y, xx, xy, yy)) return false;
  momentSums(values, usable, width, i0, i1, j0, j1, x, y, a, b, c, pedestal, sums);
  sum = load<f64>(sums);
  if (!(sum > 0)) return false;
  dx = load<f64>(sums + 8) / sum;
  dy = load<f64>(sums + 16) / sum;
  const pxx = load<f64>(sums + 24) / sum - dx * dx;
  const pxy = load<f64>(sums + 32) / sum - dx * dy;
  const pyy = load<f64>(sums + 40) / sum - dy * dy;
  const determinant = pxx * pyy - pxy * pxy;
  if (!(determinant > 0)) return false;
  const u = pyy / determinant - a;
  const v = -pxy / determinant - b;
  const w = pxx / determinant - c;
  const d = u * w - v * v;
  const isNarrower = u > 0 && w > 0 && d > 0;
  // Wider than the weight can tell: a plain doubling leads on.
  starXX = isNarrower ? w / d : 2 * pxx;
  starXY = isNarrower ? -v / d : 2 * pxy;
  starYY = isNarrower ? u / d : 2 * pyy;
  return true;
}

/**
 * What lies at (x, y), in the window's own columns and rows, under the Gaussian weight of variance (xx, xy, yy): to `out` six doubles, the weighted sum of values less `pedestal` (0 without a
 * weight), and, where the answer is true, the place of the light's mean from there (dx, dy) and the star's variance (xx, xy, yy).
 */
export function momentsUnder(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  xx: f64,
  xy: f64,
  yy: f64,
  pedestal: f64,
  out: usize,
): bool {
  const isThere = look(values, usable, width, height, x, y, xx, xy, yy, pedestal, out);
  store<f64>(out, sum);
  store<f64>(out + 8, dx);
  store<f64>(out + 16, dy);
  store<f64>(out + 24, starXX);
  store<f64>(out + 32, starXY);
  store<f64>(out + 40, starYY);
  return isThere;
}

/**
 * The Gaussian weight that matches the star near (x, y), by up to `rounds` steps from the variance (xx, xy, yy); its narrower axis never under `narrowest`. True when a step changes the variance by
 * less than `restChange` of the trace and the place by less than `restShift`; false when the star leaves (x, y) by more than `farthest`, its mean sd passes `widest`, or there is nothing.
 *
 * To `out` 15 doubles: the star's place and variance (x, y, xx, xy, yy), the weight's variance (xx, xy, yy), and the sums of `momentErrorSums` under it, with pixels of `variance` + `photonFactor` x light.
 */
export function adaptiveMoments(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  xx: f64,
  xy: f64,
  yy: f64,
  narrowest: f64,
  rounds: i32,
  restChange: f64,
  restShift: f64,
  farthest: f64,
  widest: f64,
  pedestal: f64,
  variance: f64,
  photonFactor: f64,
  out: usize,
): bool {
  const startX = x;
  const startY = y;
  for (let round = 0; round < rounds; round += 1) {
    let more = missingWidth(xx, xy, yy, narrowest);
    if (!look(values, usable, width, height, x, y, xx + more, xy, yy + more, pedestal, out)) return false;
    // The weighted mean moves less than the star does, by the ratio of product to star variance.
    const boost = (starXX + starYY) / (xx + yy + 2 * more) + 1;
    x += max(-1.0, min(1.0, boost * dx));
    y += max(-1.0, min(1.0, boost * dy));
    const trace = xx + yy;
    const change = max(max(Math.abs(starXX - xx), Math.abs(starYY - yy)), Math.abs(starXY - xy)) / trace;
    // A first guess far off is approached in bounds.
    const growth = min(1.0, (3 * trace) / (starXX + starYY));
    xx = starXX * growth;
    xy = starXY * growth;
    yy = starYY * growth;
    if (Math.sqrt((xx + yy) / 2) > widest) return false;
    if ((x - startX) * (x - startX) + (y - startY) * (y - startY) > farthest * farthest) return false;
    if (!(change < restChange && dx * dx + dy * dy < restShift * restShift)) continue;
    more = missingWidth(xx, xy, yy, narrowest);
    describe(values, usable, width, height, x, y, xx, xy, yy, more, pedestal, variance, photonFactor, out);
    return true;
  }
  return false;
}

/** What the variances of a weight lack for its narrower axis to have `narrowest`. */
function missingWidth(xx: f64, xy: f64, yy: f64, narrowest: f64): f64 {
  const half = (xx - yy) / 2;
  return max(0.0, narrowest - (xx + yy) / 2 + Math.sqrt(half * half + xy * xy));
}

function describe(
  values: usize,
  usable: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  xx: f64,
  xy: f64,
  yy: f64,
  more: f64,
  pedestal: f64,
  variance: f64,
  photonFactor: f64,
  out: usize,
): void {
  placeWeight(width, height, x, y, xx + more, xy, yy + more);
  const starHalf = (xx + yy) / 2;
  const half = starHalf + more;
  store<f64>(out, x);
  store<f64>(out + 8, y);
  store<f64>(out + 16, xx);
  store<f64>(out + 24, xy);
  store<f64>(out + 32, yy);
  store<f64>(out + 40, xx + more);
  store<f64>(out + 48, xy);
  store<f64>(out + 56, yy + more);
  // Mean variance of weight x star.
  const product = (half * starHalf) / (half + starHalf);
  momentErrorSums(
    values,
    usable,
    width,
    i0,
    i1,
    j0,
    j1,
    x,
    y,
    a,
    b,
    c,
    pedestal,
    variance,
    photonFactor,
    product,
    out + 64,
  );
}
