import { BEFORE_TOUCHING } from './cautions.js';
import { realAndLarge } from './confidence.js';
import { setups, type SetupFacts } from './field-effect.js';
import type { Cause } from './types.js';

/** Normalised third moment in the middle of the sensor at which half of all observers would see a one-sided flare. */
const MATTERS = 0.05;

export const decentredOptics: Cause = {
  meta: {
    code: 'decentred-optics',
    title: 'The optics are out of collimation',
    whyItMatters: 'Stars carry a one-sided flare even in the middle of the field; focus cannot remove it.',
    looksLike:
      'A tilted sensor changes focus from side to side but draws no one-sided flare. A jerk of the mount flares all stars of one frame alike, not of all frames. Coma that vanishes in the middle belongs to the design (a mirror without a corrector).',
    whatToDo:
      'Collimate on a star near the middle of the field, then check that the corrector sits square and centred.',
    references: [
      'Third-order coma grows linearly from its centre (Welford, Aberrations of Optical Systems, chapter 7)',
    ],
  },
  needs: (night) =>
    setups(night).some((setup) => setup.optics.detail.coma !== null)
      ? null
      : 'third moments of the stars were not measured in enough places of the field',
  judge: (night) => {
    const judged = setups(night)
      .filter((setup) => setup.optics.detail.coma !== null)
      .map((setup) => ({ setup, confidence: confidenceOf(setup) }));
    const best = judged.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    const coma = best.setup.optics.detail.coma;
    if (coma === null || best.confidence < 0.15) {
      return {
        answer: 'clear',
        why: `the flare in the middle of the field is ${(coma?.atCentre ?? 0).toFixed(3)} (third moment, 0: none)`,
      };
    }
    const centre = best.setup.optics.coma;
    const { widthPx, heightPx } = best.setup.facts[0].frame.image;
    return {
      answer: 'found',
      confidence: best.confidence,
      frames: best.setup.facts.map((f) => ({ file: f.file, confidence: best.confidence })),
      evidence: [
        {
          what: 'third moment of the stars in the middle of the field',
          value: coma.atCentre,
          unit: '',
          error: coma.atCentreError,
          limit: MATTERS,
          region: 'middle',
        },
        {
          what: 'its growth from there to the corner',
          value: coma.growth,
          unit: '',
          error: coma.growthError,
        },
        ...(centre === null
          ? []
          : [
              {
                what: 'distance of the coma-free point from the middle, half-diagonals',
                value:
                  Math.hypot(centre.centreX - (widthPx + 1) / 2, centre.centreY - (heightPx + 1) / 2) /
                  (Math.hypot(widthPx, heightPx) / 2),
                unit: 'half-diagonals',
              },
            ]),
      ],
      advice: `Collimate: bring the flare to nothing on a star in the middle of the field, in small steps of the adjusting screws, and check again at the corners; then see that the corrector sits square and centred in its holder. ${BEFORE_TOUCHING}`,
    };
  },
};

function confidenceOf(setup: SetupFacts): number {
  const { coma } = setup.optics.detail;
  if (coma === null) return 0;
  return realAndLarge(coma.atCentre / Math.hypot(coma.atCentreError, 0.004), 5, coma.atCentre, MATTERS);
}
