import { boxAround, boxesBeside, drawStar } from './draw-star.js';
import { focusAt, traceRays } from './optical-state.js';
import type { FramePlan } from './plan-night.js';
import { makePixelStar } from './pixel-star.js';
import type { PixelStar } from './pixel-star.js';
import { makeRays } from './rays.js';
import type { RaySet } from './rays.js';
import type { Scenario } from './scenario.js';
import { gaussianProfile, kolmogorovProfile, moffatProfile, withHalo } from './seeing-profile.js';
import type { SeeingProfile } from './seeing-profile.js';

/** All it takes to draw any star of one frame. */
export interface StarImage {
  readonly profile: SeeingProfile;
  readonly pixelStar: PixelStar;
  readonly rays: RaySet;
  /** Farthest that rays can land from a star, pixels. */
  readonly spreadPx: number;
  /**
   * Draw a star at pixel (x, y) of an image, counted from 1; light beyond `reachPx` is left out. On a stamp, (fieldX, fieldY) is the
   * place of the frame whose star shape is wanted.
   */
  readonly draw: (
    image: Float32Array,
    width: number,
    height: number,
    x: number,
    y: number,
    flux: number,
    reachPx: number,
    fieldX?: number,
    fieldY?: number,
  ) => void;
}

/** Farthest that a bright star's wings are drawn, pixels. */
const MOST_REACH_PX = 64;

/**
 * Set up the star images of a frame: seeing profile, pixel integration and as many rays as the blur needs to look smooth.
 * `wings`: false where only figures are wanted, which need no far wings.
 */
export function makeStarImage(scenario: Scenario, plan: FramePlan, wings = true): StarImage {
  const fwhmPx = plan.seeingArcsec / plan.arcsecPerPx;
  const { wings: shape, moffatBeta } = scenario.seeing;
  const core =
    shape === 'moffat'
      ? moffatProfile(fwhmPx, moffatBeta)
      : shape === 'gaussian'
        ? gaussianProfile(fwhmPx)
        : kolmogorovProfile(fwhmPx);
  const profile = withHalo(core, plan.haloShare, plan.haloWidth * fwhmPx);
  const blur = blurExtent(plan);
  // Neighbouring rays must land well within one seeing disc of each other.
  const wanted = 32 + 8 * (blur.discPx / fwhmPx) ** 2 + 24 * (blur.trackPx / fwhmPx);
  const count = Math.min(1200, Math.ceil(wanted));
  const rays = makeRays(count, plan.optics.obstruction, plan.path);
  const spreadPx = blur.discPx + blur.trackPx;
  const pixelStar = makePixelStar(
    profile,
    Math.ceil((wings ? MOST_REACH_PX : 3 * fwhmPx + 6 + spreadPx) + spreadPx),
  );
  // Far from the core the light is smooth, and some twelve rays say as much as all.
  const corePx = spreadPx + 3 * fwhmPx + 2;
  const wingStride = Math.max(1, Math.floor(count / 12));
  const landX = new Float64Array(count);
  const landY = new Float64Array(count);
  return {
    profile,
    pixelStar,
    rays,
    spreadPx,
    draw: (image, width, height, x, y, flux, reachPx, fieldX = x, fieldY = y) => {
      traceRays(plan.optics, rays, fieldX, fieldY, landX, landY);
      const whole = boxAround(width, height, x, y, reachPx);
      if (reachPx <= corePx || wingStride === 1) {
        drawStar(image, width, whole, x, y, flux, landX, landY, 1, pixelStar);
        return;
      }
      const core = boxAround(width, height, x, y, corePx);
      if (core.left > core.right || core.bottom > core.top) {
        drawStar(image, width, whole, x, y, flux, landX, landY, wingStride, pixelStar);
        return;
      }
      drawStar(image, width, core, x, y, flux, landX, landY, 1, pixelStar);
      for (const box of boxesBeside(whole, core)) {
        drawStar(image, width, box, x, y, flux, landX, landY, wingStride, pixelStar);
      }
    },
  };
}

/** Largest optical blur over the field and largest excursion of the tracking, pixels. */
function blurExtent(plan: FramePlan): { readonly discPx: number; readonly trackPx: number } {
  const { optics } = plan;
  const { widthPx, heightPx } = optics;
  let discPx = 0;
  for (const x of [1, (widthPx + 1) / 2, widthPx]) {
    for (const y of [1, (heightPx + 1) / 2, heightPx]) {
      const { tangential, sagittal } = focusAt(optics, x, y);
      const largest = Math.max(Math.abs(tangential), Math.abs(sagittal));
      discPx = Math.max(discPx, largest / (optics.focalRatio * optics.pitchMicron));
    }
  }
  discPx +=
    (optics.comaMicron * (1 + Math.hypot(optics.comaCentreX, optics.comaCentreY))) / optics.pitchMicron;
  let reach = 0;
  const steps = 48;
  for (let i = 0; i < steps; i++) {
    const [x, y] = plan.path.at(i / (steps - 1));
    const [x0, y0] = plan.path.at(0);
    reach = Math.max(reach, Math.hypot(x - x0, y - y0));
  }
  const corner = Math.hypot(
    Math.max(optics.rotationCentreX, widthPx - optics.rotationCentreX),
    Math.max(optics.rotationCentreY, heightPx - optics.rotationCentreY),
  );
  const fast = 3 * Math.sqrt(plan.path.jitter[0] + plan.path.jitter[2]);
  return { discPx, trackPx: reach + fast + Math.abs(optics.rotationRad) * corner };
}
