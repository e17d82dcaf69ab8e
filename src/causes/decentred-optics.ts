import { RIG_CAUTIONS } from '../optics/index.js';
import { logistic, realAndLarge } from './confidence.js';
import { growthOfFwhm, seenInFrames, setups, type SetupFacts } from './field-effect.js';
import type { Cause } from './types.js';

/** Flare in the middle of the sensor over FWHM at which half of all observers would collimate. */
const MATTERS = 0.5;

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
    setups(night).length > 0 ? null : 'no frame has enough stars over the field for a sensor map',
  judge: (night) => {
    const judged = setups(night).map((setup) => ({ setup, confidence: confidenceOf(setup) }));
    const best = judged.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    const { setup, confidence } = best;
    const { coma } = setup.optics.detail;
    if (coma === null || confidence < 0.15) {
      return {
        answer: 'clear',
        why:
          coma === null
            ? 'no one-sided flare is needed to account for the shapes of the stars'
            : `the flare in the middle of the field is ${coma.middleFlarePx.toFixed(1)} px long`,
      };
    }
    const arcsec = setup.facts[0].frame.scale?.arcsecPerPx ?? null;
    return {
      answer: 'found',
      confidence,
      // Variance of third-order coma over a full pupil, per axis: (flare/3)^2 (2/3).
      effect: growthOfFwhm((2 / 27) * coma.middleFlarePx ** 2, setup.fwhmPx),
      frames: setup.facts.map((f) => ({ file: f.file, confidence })),
      evidence: [
        {
          what: 'length of the flare in the middle of the field',
          value: coma.middleFlarePx * (arcsec ?? 1),
          unit: arcsec === null ? 'px' : 'arcsec',
          limit: MATTERS * setup.fwhmPx * (arcsec ?? 1),
          region: 'middle',
        },
        ...(coma.centre === null
          ? []
          : [
              {
                what: 'distance of the coma-free point from the middle',
                value: Math.hypot(...coma.centre),
                unit: 'half-diagonals',
              },
            ]),
        {
          what: 'the flare against its own measuring error',
          value: coma.significance,
          unit: 'times',
          limit: 5,
        },
        ...(coma.flares === null
          ? []
          : [
              {
                what: 'one-sidedness of single stars along it, against its measuring error',
                value: coma.flares,
                unit: 'times',
              },
            ]),
      ],
      advice: `Collimate: bring the flare to nothing on a star in the middle of the field, in small steps of the adjusting screws, and check again at the corners; then see that the corrector sits square and centred in its holder. ${RIG_CAUTIONS}`,
    };
  },
};

function confidenceOf(setup: SetupFacts): number {
  const { coma } = setup.optics.detail;
  if (coma === null) return 0;
  const there = realAndLarge(coma.significance, 7, coma.middleFlarePx / setup.fwhmPx, MATTERS);
  // Second moments suggest coma, third moments prove it: without any one-sidedness it may be something else.
  const proof = coma.flares === null ? 0.6 : logistic(0.8 * (coma.flares - 5));
  // A jerk of the mount flares all stars of a frame alike: in one or two frames only a flare that grows over the field is the optics'.
  const grows = coma.centre !== null && Math.hypot(...coma.centre) < 1.5;
  return seenInFrames(setup) * there * proof * (grows || setup.facts.length >= 3 ? 1 : 0.4);
}
