import type { JudgedFrame } from './types.js';

/**
 * Indices of the frames of each camera set-up: same camera, telescope, image size, binning and plate scale (to 2 %).
 * Filters and targets may differ: tilt and spacing do not depend on them.
 */
export function cameraSetups(frames: readonly JudgedFrame[]): number[][] {
  const setups = new Map<string, number[]>();
  frames.forEach((frame, i) => {
    const { header, image, scale } = frame;
    const key = [
      header.camera,
      header.telescope,
      image.widthPx,
      image.heightPx,
      header.binning?.join('x'),
      scale === null ? null : Math.round(Math.log(scale.arcsecPerPx) / 0.04),
    ].join('|');
    const list = setups.get(key);
    if (list) list.push(i);
    else setups.set(key, [i]);
  });
  return [...setups.values()];
}
