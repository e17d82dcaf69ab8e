import type { ImageSection } from './image-section.js';
import type { SampledPlane } from './mosaic-pattern.js';

/**
 * Keep a section of a plane, in the memory it lies in: rows move to the front, and `data` becomes a view of them. The section has to lie
 * inside the plane; its blank pixels are counted anew.
 */
export function cropPlane(plane: SampledPlane, section: ImageSection): SampledPlane {
  const { x0, y0, width, height } = section;
  const { data } = plane;
  for (let j = 0; j < height; j++) {
    const from = (y0 + j) * plane.width + x0;
    data.copyWithin(j * width, from, from + width);
  }
  const kept = data.subarray(0, width * height);
  let blankCount = 0;
  if (plane.blankCount > 0) for (const value of kept) if (value !== value) blankCount++;
  return { ...plane, width, height, data: kept, blankCount };
}
