import { robustLinearFit } from '../field/index.js';
import { BEFORE_TOUCHING } from './cautions.js';
import { realAndLarge } from './confidence.js';
import { setups, type SetupFacts } from './field-effect.js';
import type { Cause, Evidence } from './types.js';

/** Trail at the corner farthest from the centre of the turn, over FWHM, at which half of all observers would act. */
const MATTERS = 0.6;

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
      const turn = turnRate(setup);
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
      // A turn that registration can see and does not see speaks against the arcs.
      const denied = turn !== null && turn.seen && witnessed < 0.3 * rotation.cornerTrailPx;
      return { setup, turn, confidence: denied ? 0.35 * shape : both };
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
        what: 'the fit is worse without rotation by',
        value: rotation.significance,
        unit: 'standard errors',
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
        value: turn.degPerHour,
        unit: 'deg/h',
        error: turn.error,
      });
    }
    return {
      answer: 'found',
      confidence,
      frames: setup.facts.map((f) => ({ file: f.file, confidence })),
      evidence,
      advice: `Improve the polar alignment: the field turns about the guide star while the exposure runs. Until then, shorter exposures and a guide star near the middle of the frame keep the arcs small. ${BEFORE_TOUCHING}`,
    };
  },
};

interface TurnRate {
  readonly degPerHour: number;
  readonly error: number;
  readonly significance: number;
  /** Trail that this rate makes at half a diagonal in the longest exposure, pixels. */
  readonly trailPx: number;
  /** True when registration is good enough to see a turn that matters. */
  readonly seen: boolean;
}

/** Steady turn of the field from registration, degrees an hour; null with fewer than four registered frames. */
function turnRate(setup: SetupFacts): TurnRate | null {
  const used = setup.facts.filter((f) => f.frame.registration !== null && f.hours !== null);
  if (used.length < 4) return null;
  const groups = [...new Set(used.map((f) => `${f.frame.group}|${f.frame.registration?.flipped}`))];
  const fit = robustLinearFit(
    used.map((f) => [
      f.hours ?? 0,
      ...groups.map((g) => (`${f.frame.group}|${f.frame.registration?.flipped}` === g ? 1 : 0)),
    ]),
    used.map((f) => unturned(f.frame.registration?.rotationDeg ?? 0)),
    used.map((f) => {
      const { widthPx, heightPx } = f.frame.image;
      const matched = Math.max(3, f.frame.registration?.matched ?? 3);
      const rms = Math.max(0.05, f.frame.registration?.rmsPx ?? 0.3);
      return Math.max(
        2e-4,
        ((rms / Math.sqrt(matched) / (0.25 * Math.hypot(widthPx, heightPx))) * 180) / Math.PI,
      );
    }),
  );
  if (!fit) return null;
  const rate = fit.coefficients[0];
  const error = Math.sqrt(fit.covariance[0][0]);
  const longest = Math.max(...used.map((f) => f.frame.header.exposureSeconds ?? 0));
  const half = Math.hypot(used[0].frame.image.widthPx, used[0].frame.image.heightPx) / 2;
  const trail = (perHour: number): number => (((perHour * longest) / 3600) * Math.PI * half) / 180;
  return {
    degPerHour: rate,
    error,
    significance: Math.abs(rate) / error,
    trailPx: trail(Math.abs(rate)),
    seen: trail(3 * error) < 0.3 * setup.fwhmPx && longest > 0,
  };
}

/** Rotation about the nearest half turn, degrees in (-90, 90]: a meridian flip is no turn. */
function unturned(deg: number): number {
  const d = ((deg % 180) + 180) % 180;
  return d > 90 ? d - 180 : d;
}
