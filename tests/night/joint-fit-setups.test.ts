import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';
import { cameraSetups } from '../../src/night/joint-fit-setups.js';

const frames = madeNight({ frames: calmFrames(4) }).frames;

describe('cameraSetups', () => {
  it('keeps filters together and cameras, image sizes and scales apart', () => {
    const [a, b, c, d] = frames;
    const list = [
      a,
      { ...b, header: { ...b.header, filter: 'Ha' } },
      { ...c, header: { ...c.header, camera: 'Other' } },
      { ...d, image: { ...d.image, widthPx: 1500 } },
    ];
    expect(cameraSetups(list)).toEqual([[0, 1], [2], [3]]);
    expect(cameraSetups([])).toEqual([]);
  });
});
