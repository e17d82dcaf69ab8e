import type { FrameAssessment } from '../../../src/field/types.js';
import { normal, seeded } from '../../field/made-stars.js';

const [WIDTH_PX, HEIGHT_PX, PITCH_MICRON, RATIO] = [4000, 2700, 3.76, 5];

/** A frame by formula: a bowl of focus over the sensor without astigmatism; moments of seeing and of discs added, with noise. */
export function bowlFrame(made: {
  readonly curvatureMicron: number;
  readonly focusMicron?: number;
  readonly fwhmPx?: number;
  readonly noise?: number;
  readonly seed?: number;
  readonly cells?: number;
}): FrameAssessment {
  const { curvatureMicron, focusMicron = 0, fwhmPx = 2.5, noise = 0.01, seed = 1, cells = 35 } = made;
  const random = seeded(seed);
  const perMicron = 1 / (RATIO * PITCH_MICRON);
  const list = Array.from({ length: cells }, (_, i) => {
    const [x, y] = [((i % 7) + 0.5) * (WIDTH_PX / 7), (Math.floor(i / 7) + 0.5) * (HEIGHT_PX / 5)];
    const r2 = ((x - WIDTH_PX / 2) ** 2 + (y - HEIGHT_PX / 2) ** 2) / ((WIDTH_PX ** 2 + HEIGHT_PX ** 2) / 4);
    const moment = 0.2 * fwhmPx ** 2 + ((focusMicron + curvatureMicron * r2) * perMicron) ** 2 / 16;
    const error = noise * moment;
    return {
      x,
      y,
      mxx: moment + error * normal(random),
      myy: moment + error * normal(random),
      mxy: 0,
      mError: error,
    };
  });
  return {
    file: `bowl-${seed}.fits`,
    header: { filter: 'L', focuserPosition: 1000, focuserMicronPerStep: 4 },
    image: { widthPx: WIDTH_PX, heightPx: HEIGHT_PX, mosaic: null, hdu: 0 },
    scale: { pixelPitchMicron: PITCH_MICRON, focalRatio: RATIO, focalLengthMm: 750, source: 'option' },
    field: { cells: list },
    fwhm: { px: fwhmPx },
    registrationStars: [],
    warnings: [],
  } as unknown as FrameAssessment;
}
