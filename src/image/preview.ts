import type { PixelPlane } from '../fits/types.js';
import { blockMean, type SmallPlane } from './block-mean.js';
import { chooseStretch, sortedSample, stretcher } from './stretch.js';
import type { BackgroundMap } from './types.js';

/** Width of a preview, pixels: legible on a phone, about 10 kB as WebP. */
const PREVIEW_WIDTH_PX = 480;
const WEBP_QUALITY = 42;
/** A crowded field needs more bytes; above this many a lower quality is taken, so that a page of 400 stays under 25 MB. */
const MANY_BYTES = 20_000;
const WEBP_QUALITY_CROWDED = 18;

/** A small picture ready to be encoded: 8 bits a channel, interleaved, top row first. */
export interface SmallPicture {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  readonly bytes: Uint8Array;
}

/**
 * The stretched preview of a frame, encoded as WebP, at most 480 pixels wide, drawn with the FITS y axis up.
 *
 * Colour mosaics come out in colour. The stretch is chosen from this frame alone, so brightness does not compare between frames.
 * `sharp` is loaded on first use. RangeError for an empty plane; an all-blank plane gives a black picture.
 */
export async function makePreview(plane: PixelPlane, background: BackgroundMap): Promise<Uint8Array> {
  const { default: sharp } = await import('sharp');
  const { width, height, channels, bytes } = drawPreview(plane, background);
  const raw = sharp(bytes, { raw: { width, height, channels } });
  const encode = (quality: number) => raw.clone().webp({ quality, effort: 1 }).toBuffer();
  const encoded = await encode(WEBP_QUALITY);
  return encoded.length <= MANY_BYTES ? encoded : encode(WEBP_QUALITY_CROWDED);
}

/** The pixels of `makePreview`, before encoding. */
export function drawPreview(
  plane: PixelPlane,
  background: BackgroundMap,
  maxWidthPx: number = PREVIEW_WIDTH_PX,
): SmallPicture {
  const small = blockMean(plane, maxWidthPx);
  return small.channels.length === 3 ? drawColour(small) : drawGrey(small, background);
}

function drawGrey(small: SmallPlane, background: BackgroundMap): SmallPicture {
  const values = small.channels[0]!;
  const shown = stretcher(
    chooseStretch(values.some(Number.isFinite) ? values : Float32Array.of(background.medianLevel)),
  );
  const bytes = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) bytes[i] = Math.round(255 * shown(values[i]!));
  return { width: small.width, height: small.height, channels: 1, bytes };
}

/** Sky made neutral, star light balanced over the channels, one stretch of the mean so that hues stay (Lupton et al. 2004). */
function drawColour(small: SmallPlane): SmallPicture {
  const pixels = small.width * small.height;
  const samples = small.channels.map(sortedSample);
  const skies = samples.map((values) => values[values.length >> 1] ?? 0);
  const excess = samples.map((values, c) => brightExcess(values, skies[c]!));
  const gains = excess.map((value) => clamp(excess[1]! / value, 0.4, 2.5));
  const [reds, greens, blues] = small.channels as [Float32Array, Float32Array, Float32Array];
  const mean = new Float32Array(pixels);
  for (let i = 0; i < pixels; i++) {
    mean[i] =
      ((reds[i]! - skies[0]!) * gains[0]! +
        (greens[i]! - skies[1]!) * gains[1]! +
        (blues[i]! - skies[2]!) * gains[2]!) /
      3;
  }
  const stretch = chooseStretch(mean);
  const shownOf = stretcher(stretch);
  const floor = stretch.black;
  const bytes = new Uint8Array(pixels * 3);
  for (let i = 0; i < pixels; i++) {
    const light = mean[i]! - floor;
    if (!(light > 0)) continue;
    const lift = shownOf(mean[i]!) / light;
    const red = Math.max(0, ((reds[i]! - skies[0]!) * gains[0]! - floor) * lift);
    const green = Math.max(0, ((greens[i]! - skies[1]!) * gains[1]! - floor) * lift);
    const blue = Math.max(0, ((blues[i]! - skies[2]!) * gains[2]! - floor) * lift);
    // Too bright for one channel: dim all three alike, so that a burnt star keeps its hue.
    const scale = 255 / Math.max(1, red, green, blue);
    bytes[3 * i] = red * scale + 0.5;
    bytes[3 * i + 1] = green * scale + 0.5;
    bytes[3 * i + 2] = blue * scale + 0.5;
  }
  return { width: small.width, height: small.height, channels: 3, bytes };
}

/** Mean light above the sky of the brightest 2 % of a channel. */
function brightExcess(values: Float32Array, sky: number): number {
  const bright = values.subarray(Math.floor(values.length * 0.98));
  let sum = 0;
  for (const value of bright) sum += value - sky;
  return bright.length > 0 && sum > 0 ? sum / bright.length : 1;
}

function clamp(value: number, low: number, high: number): number {
  return Number.isFinite(value) ? Math.min(high, Math.max(low, value)) : 1;
}
