import { measureMoments, momentsUnder, type AdaptiveMoments } from './adaptive-moments.js';
import type { FrameSetting } from './frame-setting.js';
import { benefitOfStars, isSharperThanStar } from './hit-or-star.js';
import { greenParity, spikeRatio } from '../image/index.js';
import { localBackground } from './local-background.js';
import type { SpikeTest, StarWindow } from './star-window.js';
import { StarFlag } from './types.js';
import { isTooSharp } from './typical-size.js';

/** One source after the first look: where it is, how wide, what is wrong with it. */
export interface FirstLook {
  readonly source: number;
  readonly moments: AdaptiveMoments | null;
  /** Local sky above the sky map, ADU, and its error. */
  readonly pedestal: number;
  readonly pedestalError: number;
  /** Sky map at the star, ADU. */
  readonly sky: number;
  /** Highest pixel above the local sky, ADU. */
  readonly peak: number;
  /** Noise of one pixel, ADU. */
  readonly noise: number;
  flags: number;
}

/** Gather the star's surroundings into the setting's window, with its neighbours masked; returns how much light of neighbours reaches it (part of its own). */
export function openWindow(
  setting: FrameSetting,
  source: number,
  x: number,
  y: number,
  radiusPx: number,
): number {
  const { sources, widthPx, window } = setting;
  setting.cut(x, y, radiusPx, spikeTest(setting));
  const { numbers } = window.desk;
  let contamination = 0;
  let listed = 0;
  setting.neighbours.near(x, y, 1.42 * radiusPx + 2 * widthPx, (other) => {
    if (other === source) return;
    const nx = sources.x[other];
    const ny = sources.y[other];
    const distance = Math.hypot(nx - x, ny - y);
    if (distance < 0.4 * widthPx) return;
    const ratio = sources.flux[other] / sources.flux[source];
    // Light of a seeing-like profile (Moffat, beta 3) where the star's own half-maximum ellipse ends.
    const u = Math.max(0, distance - 0.6 * widthPx) / widthPx;
    contamination += ratio * (1 + 1.04 * u * u) ** -3;
    numbers[3 * listed] = nx - 1 - window.x0;
    numbers[3 * listed + 1] = ny - 1 - window.y0;
    numbers[3 * listed + 2] = 1.5 * widthPx * (1 + 0.3 * Math.max(0, Math.log10(ratio)));
    listed += 1;
    if (listed < MOST_LISTED) return;
    maskListed(window, x, y, listed);
    listed = 0;
  });
  if (listed > 0) maskListed(window, x, y, listed);
  return contamination;
}

/** Neighbours that the desk's numbers have room for. */
const MOST_LISTED = 128;

/** Mask the pixels within the reach of the neighbours listed on the desk that lie nearer to them than to the star at FITS (x, y). */
function maskListed(window: StarWindow, x: number, y: number, count: number): void {
  const { kernels, usableAt, numbersAt } = window.desk;
  kernels.maskNeighbours(
    usableAt,
    window.width,
    window.height,
    x - 1 - window.x0,
    y - 1 - window.y0,
    numbersAt,
    count,
  );
}

/** Pixels that stand out of their neighbours more than any starlight of this width can are hot, or hit. */
function spikeTest({ widthPx, isMosaic }: FrameSetting): SpikeTest {
  return { aboveNoise: 6, ratio: spikeRatio(widthPx, isMosaic ? Math.SQRT2 : 1) };
}

/** Below this width a star is hardly wider than a hit. */
const TELLS_ABOVE_PX = 2;
export function isWiderThanHits({ widthPx, isMosaic }: FrameSetting): boolean {
  return widthPx >= (isMosaic ? Math.SQRT2 : 1) * TELLS_ABOVE_PX;
}

/** A source that keeps less of its light than this once single spiked pixels are masked was no star. */
const STARLIGHT = 0.3;

/** Whether a source without moments is a particle's hit: hardly anything beside its spiked pixels, or a few pixels sharper than a star. */
function isHit(setting: FrameSetting, source: number, level: number): boolean {
  if (!isWiderThanHits(setting)) return false;
  const { sources, window, shape } = setting;
  const { flux, moments } = momentsUnder(window, sources.x[source] - 1, sources.y[source] - 1, shape, level);
  if (flux < STARLIGHT * sources.flux[source]) return true;
  return moments === null || isTooSharp(moments, 0, (shape.xx + shape.yy) / 2);
}

/** The search takes a source for one from this signal to noise on, ... */
const FOUND = 5;
/** ... looking at the pixels this near: hot ones among them count in full. */
const FOUND_WITHIN_PX = 3;

/** Whether a source would not have been found without the spiked pixels about it. The window, its neighbours masked, is cut anew. */
function isFoundBySpikes(
  setting: FrameSetting,
  { source, moments, pedestal, noise }: Omit<FirstLook, 'flags'>,
): boolean {
  const { sources, window, shape, plane, cut } = setting;
  const x = sources.x[source] - 1;
  const y = sources.y[source] - 1;
  const flux = moments?.flux ?? momentsUnder(window, x, y, shape, pedestal).flux;
  // Noise under a Gaussian weight of this shape (King 1983).
  const error =
    moments?.fluxError ?? noise * Math.sqrt(4 * Math.PI * Math.sqrt(shape.xx * shape.yy - shape.xy ** 2));
  if (flux >= FOUND * error) return false;
  const spikes = spikeTest(setting);
  cut(x + 1, y + 1, FOUND_WITHIN_PX + 1, spikes);
  const parity = greenParity(plane.mosaic);
  for (let j = 0; j < window.height; j += 1) {
    for (let i = 0; i < window.width; i += 1) {
      const k = j * window.width + i;
      if (window.usable[k] || !(window.values[k] > spikes.aboveNoise * noise)) continue;
      const column = window.x0 + i;
      const row = window.y0 + j;
      if (parity !== null && ((column + row) & 1) !== parity) continue;
      if (Math.hypot(column - x, row - y) <= FOUND_WITHIN_PX) return true;
    }
  }
  return false;
}

/** Moments, local sky and flags of one source. `photonFactor`: see `fitMoffat`. */
export function takeFirstLook(setting: FrameSetting, source: number, photonFactor: number): FirstLook {
  const { sources, window, widthPx, plane } = setting;
  const x = sources.x[source];
  const y = sources.y[source];
  let flags = 0;
  const contamination = openWindow(setting, source, x, y, setting.ringOuter);
  if (contamination > 0.03) flags |= StarFlag.Blended;
  const edge = Math.max(3, 1.2 * widthPx);
  if (x - edge < 1 || y - edge < 1 || x + edge > plane.width || y + edge > plane.height)
    flags |= StarFlag.Edge;
  const inner = innerPixels(window, x - 1, y - 1, 1.2 * widthPx);
  if (inner.blanks > 0) flags |= StarFlag.BadPixels;
  // The window's values are rounded to 32-bit floats.
  const clip = setting.clipLevel === null ? Infinity : setting.clipLevel - 1e-6 * Math.abs(setting.clipLevel);
  if (inner.highest + window.sky >= clip) flags |= StarFlag.Saturated;
  const ring = localBackground(window, x - 1, y - 1, setting.ringInner, setting.ringOuter, setting.quantum);
  const moments = measureMoments(
    window,
    { x: x - 1, y: y - 1, shape: setting.shape },
    ring.level,
    photonFactor,
  );
  const look = {
    source,
    moments,
    pedestal: ring.level,
    pedestalError: ring.error,
    sky: window.sky,
    peak: inner.highest - ring.level,
    noise: window.noise,
  };
  if (moments === null) {
    flags |= StarFlag.MomentsFailed;
    if (!(flags & (StarFlag.Saturated | StarFlag.Edge)) && isHit(setting, source, ring.level))
      flags |= StarFlag.TooSharp;
  } else if (moments.flux < 10 * moments.fluxError) {
    flags |= StarFlag.Faint;
    // Noise about a masked hit may look like a faint star.
    if (
      flags === StarFlag.Faint &&
      isWiderThanHits(setting) &&
      moments.flux < STARLIGHT * sources.flux[source]
    )
      flags |= StarFlag.TooSharp;
  }
  if (!isWiderThanHits(setting) && isNarrowHit(setting, look, flags)) flags |= StarFlag.TooSharp;
  else if (flags & (StarFlag.MomentsFailed | StarFlag.Faint) && isFoundBySpikes(setting, look))
    flags |= StarFlag.TooSharp;
  return { flags, ...look };
}

/** Whether a source that may be one is a hit, on a frame whose stars are hardly wider than that. */
function isNarrowHit(
  { sources, shape, isMosaic, window }: FrameSetting,
  { source, moments, pedestal }: Omit<FirstLook, 'flags'>,
  flags: number,
): boolean {
  if (flags & (StarFlag.Saturated | StarFlag.BadPixels)) return false;
  const isNarrow =
    moments !== null &&
    isTooSharp(
      { xx: moments.mxx, xy: moments.mxy, yy: moments.myy },
      moments.mError,
      (shape.xx + shape.yy) / 2,
    );
  if (!isNarrow && !(flags & (StarFlag.MomentsFailed | StarFlag.Faint))) return false;
  return isSharperThanStar(
    window,
    sources.x[source] - 1,
    sources.y[source] - 1,
    shape,
    pedestal,
    isMosaic,
    benefitOfStars(sources),
  );
}

/** Highest value of the usable pixels within `radiusPx` of 0-based (x, y), ADU above the sky map, and how many there are blank. */
function innerPixels(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
): { readonly highest: number; readonly blanks: number } {
  const { kernels, valuesAt, usableAt, numbers, numbersAt } = window.desk;
  const { x0, y0, width, height } = window;
  kernels.innerPixels(valuesAt, usableAt, width, height, x - x0, y - y0, radiusPx, numbersAt);
  return { highest: numbers[0], blanks: window.blanks > 0 ? numbers[1] : 0 };
}
