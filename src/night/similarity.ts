/** A similarity transform of the plane: X = a x - b y + tx, Y = b x + a y + ty; a = scale cos(rotation), b = scale sin(rotation). */
export interface Similarity {
  readonly a: number;
  readonly b: number;
  readonly tx: number;
  readonly ty: number;
}

export const identity: Similarity = { a: 1, b: 0, tx: 0, ty: 0 };

/** Applies `first`, then `second`. */
export function composeSimilarity(first: Similarity, second: Similarity): Similarity {
  return {
    a: second.a * first.a - second.b * first.b,
    b: second.b * first.a + second.a * first.b,
    tx: second.a * first.tx - second.b * first.ty + second.tx,
    ty: second.b * first.tx + second.a * first.ty + second.ty,
  };
}

/** Scale factor and rotation, degrees counter-clockwise in (-180, 180]. */
export function scaleAndRotation({ a, b }: Similarity): { scale: number; rotationDeg: number } {
  const rotationDeg = (Math.atan2(b, a) * 180) / Math.PI;
  return { scale: Math.hypot(a, b), rotationDeg: rotationDeg === -180 ? 180 : rotationDeg };
}

/**
 * Least-squares similarity that maps points (x, y) on (X, Y); pairs are given by index, `partner[i] < 0` leaves point i out.
 * Closed form (Umeyama 1991, without reflection). Null with fewer than two pairs or when all points coincide.
 */
export function fitSimilarity(
  x: Float64Array,
  y: Float64Array,
  partnerX: Float64Array,
  partnerY: Float64Array,
  partner: Int32Array,
): Similarity | null {
  let n = 0;
  let mx = 0;
  let my = 0;
  let mX = 0;
  let mY = 0;
  for (let i = 0; i < partner.length; i++) {
    const j = partner[i]!;
    if (j < 0) continue;
    n++;
    mx += x[i]!;
    my += y[i]!;
    mX += partnerX[j]!;
    mY += partnerY[j]!;
  }
  if (n < 2) return null;
  mx /= n;
  my /= n;
  mX /= n;
  mY /= n;
  let dot = 0;
  let cross = 0;
  let norm = 0;
  for (let i = 0; i < partner.length; i++) {
    const j = partner[i]!;
    if (j < 0) continue;
    const dx = x[i]! - mx;
    const dy = y[i]! - my;
    const dX = partnerX[j]! - mX;
    const dY = partnerY[j]! - mY;
    dot += dx * dX + dy * dY;
    cross += dx * dY - dy * dX;
    norm += dx * dx + dy * dy;
  }
  if (!(norm > 0)) return null;
  const a = dot / norm;
  const b = cross / norm;
  return { a, b, tx: mX - (a * mx - b * my), ty: mY - (b * mx + a * my) };
}
