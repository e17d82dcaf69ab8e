import { describe, expect, it } from 'vitest';
import { scaleWitness } from '../../../src/night/ladder/scale-witness.js';
import type { LadderRung } from '../../../src/night/ladder/types.js';
import type { FrameAssessment } from '../../../src/field/types.js';
import { noLadderOptions } from './ladder-fixture.js';

const REDUCER = 275;
const factor = (mm: number) => 1 - mm / REDUCER;

function rung(spacingMm: number, trueMm = spacingMm, source = 'wcs'): LadderRung {
  let state = 11;
  const uniform = () => (state = (state * 16807) % 2147483647) / 2147483647;
  const enlarged = factor(trueMm) / factor(55);
  const stars = Array.from(
    { length: 60 },
    () => [uniform() * 1400 - 700, uniform() * 1000 - 500, 1e5 * uniform() ** 3 + 500] as const,
  )
    .sort((a, b) => b[2] - a[2])
    .flatMap(([x, y, flux]) => [800 + x * enlarged + (trueMm - 55) * 3, 550 + y * enlarged, flux]);
  const frame = {
    file: `${spacingMm}.fits`,
    header: { exposureSeconds: 60, dateObs: null },
    image: { widthPx: 1600, heightPx: 1100 },
    fwhm: { px: 3 },
    stars: { measured: 60 },
    scale: { source, focalLengthMm: 900 * factor(trueMm) },
    registrationStars: stars,
  } as unknown as FrameAssessment;
  return { spacingMm, frames: [frame] };
}

describe('the image scale as a second witness', () => {
  it('gives the distance of the reducer twice and finds them to agree', () => {
    const witness = scaleWitness(
      [rung(54), rung(56)],
      { ...noLadderOptions, reducerFocalMm: REDUCER, bareFocalMm: 900 },
      55,
    )!;
    expect(witness.source).toBe('wcs');
    expect(witness.distanceMm!.value).toBeCloseTo(55, 6);
    expect(witness.distanceFromFactorMm!).toBeCloseTo(55, 6);
    expect(witness.factor).toBeCloseTo(0.8, 9);
    expect(witness.verdict).toBe('agrees');
  });

  it('works from stars matched between the rungs, without any catalogue', () => {
    const witness = scaleWitness(
      [rung(54, 54, 'focal-length'), rung(56, 56, 'focal-length')],
      noLadderOptions,
      55,
    )!;
    expect(witness.source).toBe('matched-stars');
    expect(Math.abs(witness.remainderMm.value / (REDUCER - 55) - 1)).toBeLessThan(0.02);
  });

  it('disagrees when the bare focal length is wrong', () => {
    const witness = scaleWitness(
      [rung(54), rung(56)],
      { ...noLadderOptions, reducerFocalMm: REDUCER, bareFocalMm: 860 },
      55,
    )!;
    expect(witness.verdict).toBe('disagrees');
  });

  it('names a label that does not go with the scale', () => {
    const witness = scaleWitness(
      [rung(53), rung(54), rung(55, 55.6), rung(56), rung(57)],
      noLadderOptions,
      55,
    )!;
    expect(witness.verdict).toBe('disagrees');
    expect(witness.oddLabels.map((odd) => odd.spacingMm)).toContain(55);
  });

  it('says that a flattener without power gives no scale to go by, and that swapped labels cannot be', () => {
    expect(scaleWitness([rung(54, 55), rung(56, 55)], noLadderOptions, 55)!.verdict).toBe('too-weak');
    expect(scaleWitness([rung(54, 56), rung(56, 54)], noLadderOptions, 55)!.words).toContain(
      'wrong way round',
    );
  });

  it('is silent without a scale on two rungs', () => {
    expect(scaleWitness([rung(54)], noLadderOptions, 55)).toBeNull();
  });
});
