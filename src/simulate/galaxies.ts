import type { FramePose } from './plan-night.js';
import { makeRandom } from './random.js';
import type { Random } from './random.js';
import type { Scenario } from './scenario.js';
import { placeOnFrame } from './star-catalogue.js';
import type { StarImage } from './star-image.js';

/** Inclined exponential discs, laid out like the stars: pixels from the target's centre, flux in electrons per second above the air. */
export interface Galaxy {
  readonly x: number;
  readonly y: number;
  readonly flux: number;
  /** Scale length of the disc, pixels; ratio and angle of its axes. */
  readonly scalePx: number;
  readonly axisRatio: number;
  readonly angleDeg: number;
}

/** Light of a galaxy is drawn as this many points. */
const POINTS = 160;
const GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5));

/** Draw the galaxies of a field. */
export function makeGalaxies(scenario: Scenario): readonly Galaxy[] {
  const { camera, stars } = scenario;
  const random: Random = makeRandom(scenario.seed, 'galaxies');
  return Array.from({ length: stars.galaxies }, () => ({
    x: (random.uniform() - 0.5) * camera.widthPx,
    y: (random.uniform() - 0.5) * camera.heightPx,
    flux: stars.faintest * 10 ** (0.5 + 1.2 * random.uniform()),
    scalePx: 1.5 + 3 * random.uniform(),
    axisRatio: 0.3 + 0.7 * random.uniform(),
    angleDeg: 180 * random.uniform(),
  }));
}

/** Add a galaxy to an image: points of equal light spread as an exponential disc, each with the star image of its place. */
export function drawGalaxy(
  image: Float32Array,
  widthPx: number,
  heightPx: number,
  pose: FramePose,
  galaxy: Galaxy,
  electrons: number,
  star: StarImage,
): void {
  const angle = (galaxy.angleDeg * Math.PI) / 180;
  const reach = 2.5 * star.profile.fwhm + star.spreadPx + 3;
  for (let i = 0; i < POINTS; i++) {
    const radius = galaxy.scalePx * discRadius((i + 0.5) / POINTS);
    const along = radius * Math.cos(i * GOLDEN_ANGLE);
    const across = galaxy.axisRatio * radius * Math.sin(i * GOLDEN_ANGLE);
    const [x, y] = placeOnFrame(
      pose,
      widthPx,
      heightPx,
      galaxy.x + along * Math.cos(angle) - across * Math.sin(angle),
      galaxy.y + along * Math.sin(angle) + across * Math.cos(angle),
    );
    star.draw(image, widthPx, heightPx, x, y, electrons / POINTS, reach);
  }
}

/** Radius in scale lengths that holds a share of an exponential disc's light: solves 1 - (1 + r) e^-r = share. */
function discRadius(share: number): number {
  let r = 1.68;
  for (let i = 0; i < 40; i++) {
    const step = (1 - (1 + r) * Math.exp(-r) - share) / (r * Math.exp(-r));
    r = Math.max(r / 3, r - step);
    if (Math.abs(step) < 1e-9) break;
  }
  return r;
}
