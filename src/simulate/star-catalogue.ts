import type { FramePose } from './plan-night.js';
import { makeRandom } from './random.js';
import type { Random } from './random.js';
import type { Scenario } from './scenario.js';

/** Sources of the field: positions in pixels from the target's centre (unturned frame), flux in electrons per second above the air. */
export interface StarCatalogue {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly flux: Float64Array;
}

/** Draw a field of stars with power-law fluxes over an area that covers every dithered and turned frame; plus a cluster. */
export function makeStarCatalogue(scenario: Scenario): StarCatalogue {
  const { stars, camera, night } = scenario;
  const random = makeRandom(scenario.seed, 'stars');
  const halfDiagonal = Math.hypot(camera.widthPx, camera.heightPx) / 2;
  const margin = 5 * night.ditherPx + night.creepPxPerFrame * scenario.frames + 40;
  // Without turns the field need not be round.
  const turns = night.rotationPerFrameDeg !== 0;
  const halfX = turns ? halfDiagonal + margin : camera.widthPx / 2 + margin;
  const halfY = turns ? halfDiagonal + margin : camera.heightPx / 2 + margin;
  const density = stars.count / (camera.widthPx * camera.heightPx);
  const field = random.poisson(density * 4 * halfX * halfY);
  const members = stars.cluster ? random.poisson(stars.cluster.count) : 0;
  const count = field + members;
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const flux = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    if (i < field || !stars.cluster) {
      x[i] = (2 * random.uniform() - 1) * halfX;
      y[i] = (2 * random.uniform() - 1) * halfY;
    } else {
      const spread = stars.cluster.radius * halfDiagonal * 0.7;
      x[i] = stars.cluster.centreX * halfDiagonal + spread * random.normal();
      y[i] = stars.cluster.centreY * halfDiagonal + spread * random.normal();
    }
    flux[i] = powerLaw(random, stars.slope, stars.faintest, Math.max(stars.faintest, stars.brightest));
  }
  return { count, x, y, flux };
}

/** Deviate with density ~ F^-slope between two bounds, slope > 1. */
function powerLaw(random: Random, slope: number, low: number, high: number): number {
  const k = 1 - slope;
  const a = low ** k;
  return (a + random.uniform() * (high ** k - a)) ** (1 / k);
}

/** FITS pixel position of a catalogue position on a frame. */
export function placeOnFrame(
  pose: FramePose,
  widthPx: number,
  heightPx: number,
  x: number,
  y: number,
): readonly [number, number] {
  const angle = (pose.rotationDeg * Math.PI) / 180;
  const c = pose.scale * Math.cos(angle);
  const s = pose.scale * Math.sin(angle);
  return [(widthPx + 1) / 2 + pose.shiftX + c * x - s * y, (heightPx + 1) / 2 + pose.shiftY + s * x + c * y];
}
