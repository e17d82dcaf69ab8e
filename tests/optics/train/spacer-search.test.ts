import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { searchSpacers } from '../../../src/optics/train/spacer-search.js';
import type { TrainPart } from '../../../src/optics/train/train-file.js';
import { parseJointEnd } from '../../../src/optics/train/train-threads.js';
import { timed } from '../../scenes/processor-time.js';

function piece(
  lengthMm: number,
  front = 'M48 female',
  rear = 'M48 male',
  more: Partial<TrainPart> = {},
): TrainPart {
  return {
    name: `${front} ${lengthMm}`,
    kind: 'spacer',
    lengthMm,
    front: parseJointEnd(front),
    rear: parseJointEnd(rear),
    clearApertureMm: null,
    glass: null,
    rangeMm: null,
    extendedMm: null,
    travelMm: null,
    massGram: null,
    removable: true,
    count: 1,
    ...more,
  };
}

const gap = { before: parseJointEnd('M48 male'), behind: parseJointEnd('M48 female'), toleranceMm: 0.05 };
const lengths = (choice: { pieces: readonly { lengthMm: number }[] } | undefined) =>
  choice?.pieces.map((p) => p.lengthMm);

describe('the search for spacers', () => {
  it('prefers one piece to two, and two to three', () => {
    const box = [piece(5), piece(10), piece(15), piece(7), piece(3)];
    const { choices } = searchSpacers({ ...gap, lengthMm: 15, box });
    expect(choices.map((c) => c.joints)).toEqual([1, 2, 3]);
    expect(lengths(choices[0])).toEqual([15]);
    expect(choices[1]?.totalMm).toBe(15);
  });

  it('prefers threads to clamps with as many joints', () => {
    const tube = { before: null, behind: null, toleranceMm: 0.05 };
    const box = [piece(12, '2" female', '2" male'), piece(12)];
    const { choices } = searchSpacers({ ...tube, lengthMm: 12, box });
    expect(choices.map((c) => c.pieces[0]?.part.name)).toEqual(['M48 female 12', '2" female 12']);
  });

  it('finds the order in which threads fit, turning pieces round', () => {
    const box = [
      piece(4, 'T female', 'T male'),
      piece(3, 'M48 female', 'T male'),
      piece(2, 'M48 male', 'T female'),
    ];
    const { choices } = searchSpacers({ ...gap, lengthMm: 7, behind: parseJointEnd('T female'), box });
    expect(choices[0]?.pieces.map((p) => [p.lengthMm, p.reversed])).toEqual([
      [3, false],
      [4, false],
    ]);
    const turned = searchSpacers({ ...gap, lengthMm: 9, box }).choices[0];
    expect(turned?.pieces.map((p) => [p.lengthMm, p.reversed])).toEqual([
      [3, false],
      [4, false],
      [2, true],
    ]);
    expect(searchSpacers({ ...gap, lengthMm: 7, box }).choices).toEqual([]);
  });

  it('sets a draw tube to what is missing', () => {
    const box = [piece(20, 'M48 female', 'M48 male', { kind: 'draw-tube', rangeMm: [20, 40] }), piece(5)];
    const { choices } = searchSpacers({ ...gap, lengthMm: 33, box });
    expect(lengths(choices[0])).toEqual([33]);
    expect(choices[0]?.clamped).toBe(1);
  });

  it('uses no piece more often than there are of it', () => {
    const box = [piece(0.5, '', '', { kind: 'shim', count: 2 })];
    const { choices, nearest } = searchSpacers({ ...gap, lengthMm: 1.5, box });
    expect(choices).toEqual([]);
    expect(nearest?.totalMm).toBe(1);
  });

  it('answers a gap that is closed with nothing, and one that is too short with nothing fitting', () => {
    expect(searchSpacers({ ...gap, lengthMm: 0.02, box: [piece(5)] }).choices[0]?.pieces).toEqual([]);
    expect(searchSpacers({ ...gap, lengthMm: -3, box: [piece(5)] }).choices).toEqual([]);
  });

  it('finds exactly the sets that trying all subsets finds', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 8 }),
        fc.integer({ min: 1, max: 90 }),
        (sizes, target) => {
          const box = sizes.map((tenths) => piece(tenths / 10));
          const answer = searchSpacers({
            ...gap,
            toleranceMm: 0,
            lengthMm: target / 10,
            box,
            maxPieces: 8,
            limit: 1000,
          });
          const sets = new Set<string>();
          for (let mask = 0; mask < 1 << sizes.length; mask += 1) {
            const chosen = sizes.filter((_, i) => mask & (1 << i));
            if (chosen.reduce((a, b) => a + b, 0) === target) sets.add(chosen.sort((a, b) => a - b).join());
          }
          const found = answer.choices.map((c) =>
            c.pieces
              .map((p) => Math.round(p.lengthMm * 10))
              .sort((a, b) => a - b)
              .join(),
          );
          expect(new Set(found)).toEqual(sets);
          expect(found.length).toBe(sets.size);
        },
      ),
      { numRuns: 150, seed: 9 },
    );
  });

  it('stays bounded with a large box', () => {
    const box = Array.from({ length: 60 }, (_, i) =>
      piece(1 + i * 0.37, 'M48 female', 'M48 male', { count: 5 }),
    );
    const { result: answer, processorMs } = timed(() =>
      searchSpacers({ ...gap, toleranceMm: 0.0001, lengthMm: 100.0003, box }),
    );
    expect(processorMs).toBeLessThan(5000);
    expect(answer.choices.length === 0 || answer.choices[0]!.joints > 0).toBe(true);
  });
});
