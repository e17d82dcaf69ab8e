import type { NightAssessment } from '../../causes/types.js';
import { encodeStarAtlas } from '../../field/index.js';
import { cornersReport } from '../corners/index.js';

/** Screen pixels per sub-pixel: a mean of many subs is smooth enough to be shown large. */
const ZOOM = 2;

/**
 * The star atlas of each whole group as PNG, by the group's name: the mean star of each part of the sensor over all its kept subs
 * (over all its subs when none was kept).
 *
 * Needs subs that carry their mean stars (`pictures: 'corners'`); groups without are left out.
 */
export async function groupAtlases(night: NightAssessment): Promise<Map<string, Uint8Array>> {
  const atlases = new Map<string, Uint8Array>();
  for (const { name, atlas } of cornersReport(night).subjects) {
    if (atlas !== null) atlases.set(name, await encodeStarAtlas(atlas, ZOOM));
  }
  return atlases;
}
