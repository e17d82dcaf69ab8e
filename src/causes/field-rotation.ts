import { RIG_CAUTIONS } from '../optics/index.js';
import { turnRate } from '../night/index.js';
import { realAndLarge } from './confidence.js';
import { growthOfFwhm, seenInFrames, setups } from './field-effect.js';
import type { Cause, Evidence } from './types.js';

/** Trail at the corner farthest from the centre of the turn, over FWHM, at which half of all observers would act. */
const MATTERS = 0.5;
/** What arcs are worth that no turn between the frames bears out. */
const DENIED = 0.65;

export const fieldRotation: Cause = {
  meta: {
    code: 'field-rotation',
    title: 'The field turns during the exposure',
    whyItMatters:
      'With the pole of the mount off the pole of the sky, the field turns about the guide star; stars far from it trail in arcs.',
    looksLike:
      'Too long a spacing also draws corner stars out around the centre, but that changes with focus and keeps its size at any exposure time, and the field does not turn from frame to frame.',
    whatToDo: 'Improve the polar alignment; on an altazimuth mount use a rotator or shorter exposures.',
    references: [
      'Length of the trail = angle x distance from the guide star; off-axis guide stars lie outside the frame (common practice, no source)',
    ],
  },
  needs: (night) =>
    setups(night).length > 0 ? null : 'no frame has enough stars over the field for a sensor map',
  judge: (night) => {
    const judged = setups(night).map((setup) => {
      const turn = turnRate(setup.facts.map((f) => f.frame));
      const { rotation } = setup.optics.detail;
      const witnessed = turn === null ? 0 : turn.trailPx;
      const reach = 1 + Math.min(2, Math.hypot(...rotation.centre));
      // Two witnesses: arcs in the frames, and a turn between them. Either alone can speak; both together convince.
      const shape = realAndLarge(
        rotation.significance,
        6,
        (reach * rotation.cornerTrailPx) / setup.fwhmPx,
        MATTERS,
      );
      const between =
        turn === null ? 0 : realAndLarge(turn.significance, 6, (reach * witnessed) / setup.fwhmPx, MATTERS);
      const both = 1 - (1 - shape) * (1 - between);
      // A turn that registration can see and does not see speaks against the arcs; the fit has let them pass only where nothing else
      // draws them (frames turned back between exposures).
      const seen = turn !== null && !turn.aligned && 3 * turn.trailErrorPx < 0.3 * setup.fwhmPx;
      const denied = seen && witnessed < 0.3 * rotation.cornerTrailPx;
      return { setup, turn, confidence: seenInFrames(setup) * (denied ? DENIED * shape : both) };
    });
    const best = judged.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    if (best.confidence < 0.15)
      return {
        answer: 'clear',
        why: 'the stars are not drawn out around a point, and the field does not turn between frames',
      };
    const { setup, turn, confidence } = best;
    const { rotation } = setup.optics.detail;
    const evidence: Evidence[] = [
      {
        what: 'trail at the corner in the longest exposure',
        value: rotation.cornerTrailPx,
        unit: 'px',
        region: 'corner',
      },
      {
        what: 'the arcs against their own measuring error',
        value: rotation.significance,
        unit: 'times',
        limit: 6,
      },
      {
        what: 'centre of the turn from the middle of the sensor, half-diagonals',
        value: Math.hypot(...rotation.centre),
        unit: 'half-diagonals',
      },
    ];
    if (turn !== null) {
      evidence.push({
        what: 'the field turns between frames by',
        // Which way is of no use to anybody: it depends on the side from which the first row is drawn.
        value: Math.abs(turn.degPerHour),
        unit: 'deg/h',
        error: turn.error,
      });
    }
    return {
      answer: 'found',
      confidence,
      effect: growthOfFwhm(
        ((1 + Math.hypot(...rotation.centre)) * rotation.cornerTrailPx) ** 2 / 12,
        setup.fwhmPx,
      ),
      frames: setup.facts.map((f) => ({ file: f.file, confidence })),
      evidence,
      advice: `Improve the polar alignment: the field turns about the guide star while the exposure runs. Until then, shorter exposures and a guide star near the middle of the frame keep the arcs small. ${RIG_CAUTIONS}`,
    };
  },
};
