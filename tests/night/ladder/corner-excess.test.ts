import { describe, expect, it } from 'vitest';
import type { FrameAssessment } from '../../../src/field/types.js';
import { cornerExcess } from '../../../src/night/ladder/corner-excess.js';

const frame = (excess: number, count = 25) =>
  ({
    image: { widthPx: 800, heightPx: 600 },
    field: {
      cells: Array.from({ length: count }, (_, i) => {
        const [x, y] = [80 + 160 * (i % 5), 60 + 120 * Math.floor(i / 5)];
        const r2 = ((x - 400.5) ** 2 + (y - 300.5) ** 2) / 500 ** 2;
        return { x, y, mxx: 1 + excess * r2, myy: 1 + excess * r2, mxy: 0, mError: 0.02 };
      }),
    },
  }) as unknown as FrameAssessment;

describe('softness of the corners', () => {
  it('is the growth of the moment towards r = 1', () => {
    expect(cornerExcess(frame(0.8))!.value).toBeCloseTo(0.8, 6);
    expect(cornerExcess(frame(-0.2))!.value).toBeCloseTo(-0.2, 6);
  });

  it('is not told from a handful of cells', () => {
    expect(cornerExcess(frame(1, 4))).toBeNull();
  });
});
