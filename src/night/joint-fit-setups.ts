import type { JudgedFrame } from './types.js';

/** Plate scales farther apart than this part belong to different optics (a reducer, another telescope). */
const SAME_SCALE = 0.02;

/**
 * Indices of the frames of each camera set-up: same camera, telescope, image size, binning and plate scale (no step above 2 % between them).
 * Filters and targets may differ: tilt and spacing do not depend on them. Frames without a scale make a set-up of their own.
 */
export function cameraSetups(frames: readonly JudgedFrame[]): number[][] {
  const rigs = new Map<string, number[]>();
  frames.forEach(({ header, image, scale }, i) => {
    const key = [
      header.camera,
      header.telescope,
      image.widthPx,
      image.heightPx,
      header.binning?.join('x'),
      scale === null,
    ].join('|');
    const list = rigs.get(key);
    if (list) list.push(i);
    else rigs.set(key, [i]);
  });
  return [...rigs.values()].flatMap((rig) => splitByScale(frames, rig));
}

function splitByScale(frames: readonly JudgedFrame[], rig: readonly number[]): number[][] {
  const scaleOf = (i: number): number => Math.log(frames[i].scale?.arcsecPerPx ?? 1);
  const sorted = [...rig].sort((a, b) => scaleOf(a) - scaleOf(b) || a - b);
  const parts: number[][] = [];
  sorted.forEach((i, k) => {
    const last = parts[parts.length - 1];
    if (k > 0 && scaleOf(i) - scaleOf(sorted[k - 1]) < SAME_SCALE) last.push(i);
    else parts.push([i]);
  });
  return parts.map((part) => part.sort((a, b) => a - b));
}
