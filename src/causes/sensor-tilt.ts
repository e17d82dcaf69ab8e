import { combineTilts } from '../field/index.js';
import { shimMicron, sideWords, RIG_CAUTIONS } from '../optics/index.js';
import { realAndLarge } from './confidence.js';
import { seenInFrames, setups, softeningPercent, typicalFocusPx, type SetupFacts } from './field-effect.js';
import type { OpticalDetail } from '../night/types.js';
import type { Cause, CauseAnswer, Evidence } from './types.js';

/** Difference of FWHM between the two ends of the tilt, per cent, at which half of all observers would act. */
const MATTERS_PERCENT = 5;
/** Flange for which a shim is worked out as an example: M54 adapters rest on about this diameter (common practice). */
const EXAMPLE_FLANGE_MM = 54;

export const sensorTilt: Cause = {
  meta: {
    code: 'sensor-tilt',
    title: 'The sensor is tilted against the focal plane',
    whyItMatters:
      'One side or corner of every frame is softer than the opposite one, and no focus position makes all of it sharp.',
    looksLike:
      'Wrong spacing softens all corners alike. Decentred optics give one-sided flares rather than a change of focus. A single frame in which one side is soft may be tilt or a focus error across a curved field: the way it changes through focus tells.',
    whatToDo:
      'Square the train: reseat clamped joints, prefer threaded ones, then shim or use the tilt plate at the side given. A tilt that turns over with the pier side sags: support or tighten the draw tube instead of shimming.',
    references: [
      'Jarvis, Schechter & Jain 2008, arXiv:0810.0027',
      'Threaded joints hold squarer than clamped tubes; a far-out draw tube sags (common practice, no source)',
    ],
  },
  needs: (night) =>
    setups(night).length > 0 ? null : 'no frame has enough stars over the field for a sensor map',
  judge: (night) => {
    const judged = setups(night).map((setup) => ({ setup, confidence: tiltConfidence(setup) }));
    const best = judged.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    if (best.confidence < 0.15) {
      const percent = tiltEffect(best.setup);
      return {
        answer: 'clear',
        why: `the slope of focus over the sensor changes FWHM by ${percent.toFixed(1)} % from side to side`,
      };
    }
    return found(best.setup, best.confidence);
  },
};

function tiltConfidence(setup: SetupFacts): number {
  const { significance } = setup.optics.detail.tilt;
  return seenInFrames(setup) * realAndLarge(significance, 5, tiltEffect(setup), MATTERS_PERCENT);
}

/** Softening of the worse end of the slope, per cent, at the night's typical focus. */
function tiltEffect(setup: SetupFacts): number {
  const { tilt, detail } = setup.optics;
  if (tilt === null) return 0;
  const half = tilt.span / 2 / (detail.micronPerDiscPx ?? 1);
  const focus = typicalFocusPx(setup);
  return (
    softeningPercent(half + focus, setup.fwhmPx) - softeningPercent(Math.max(0, focus - half), setup.fwhmPx)
  );
}

/** What the side that is told takes for granted, by its witness: a wrong guess would double the tilt. */
const SENSE = {
  focuser: 'This takes larger focuser counts as moving the camera outwards (--inward says otherwise).',
  'focuser-said': null,
  cooling: 'This takes the tube as shrinking while it cools, as most do (common practice, no source).',
} as const;

function found(setup: SetupFacts, confidence: number): CauseAnswer {
  const { tilt, detail, unit, signsKnown } = setup.optics;
  if (tilt === null) return { answer: 'cannot-tell', why: 'the tilt could not be fitted' };
  const stars = setup.facts.reduce((sum, f) => sum + f.frame.stars.measured, 0);
  const evidence: Evidence[] = [
    {
      what: 'highest minus lowest corner of the plane of best focus',
      value: tilt.span,
      unit: unit === 'micron' ? 'um' : 'px of blur disc',
      error: tilt.spanError,
      stars,
    },
    {
      what: signsKnown
        ? 'direction towards the side where best focus lies farther out'
        : 'axis of the tilt (which end is farther out is not known)',
      value: signsKnown ? tilt.directionDeg : tilt.directionDeg % 180,
      unit: 'deg',
      error: detail.tilt.directionErrorDeg,
      region: sideWords(tilt.directionDeg),
    },
    {
      what: 'FWHM at the softer end of the tilt above that at the other, by the fit, at the focus error typical for the night',
      value: tiltEffect(setup),
      unit: '%',
      limit: MATTERS_PERCENT,
    },
    {
      what: 'the tilt against its own measuring error',
      value: detail.tilt.significance,
      unit: 'times',
      limit: 5,
    },
  ];
  const slope = combineTilts(setup.facts.map((f) => f.frame.field.tilt));
  // A slope that is in focus in its middle softens both ends alike: then no side is the softer one.
  if (slope !== null && slope.fwhmSpanPercent > 4 * slope.fwhmSpanErrorPercent)
    evidence.push({
      what: 'on the mean of all frames stars are softest towards',
      value: slope.directionDeg,
      unit: 'deg',
      region: sideWords(slope.directionDeg),
    });
  if (tilt.angleArcmin !== null)
    evidence.push({ what: 'tilt angle', value: tilt.angleArcmin, unit: 'arcmin' });
  const advice: string[] = [];
  if (tilt.angleArcmin !== null) {
    const shim = shimMicron(tilt.angleArcmin, EXAMPLE_FLANGE_MM);
    const where = signsKnown
      ? `move the ${sideWords(tilt.directionDeg)} edge of the sensor away from the optics (or the opposite edge nearer)`
      : `along the line from the ${sideWords(tilt.directionDeg)} to the ${sideWords((tilt.directionDeg + 180) % 360)} edge; one frame on each side of focus tells which end`;
    advice.push(
      `${tilt.angleArcmin.toFixed(1)} arcmin of tilt are undone by ${shimMicron(tilt.angleArcmin, 1).toFixed(1)} um of shim for each millimetre of the diameter that the adapter rests on (assuming a ${EXAMPLE_FLANGE_MM} mm flange: ${shim.toFixed(0)} um at its edge): ${where}; edges are named as the picture shows them with the first row at the bottom.`,
    );
    const assumed = signsKnown && detail.signSource !== 'none' ? SENSE[detail.signSource] : null;
    if (assumed !== null)
      advice.push(`${assumed} Make sure of that before you move anything: else it is the opposite edge.`);
  } else {
    advice.push('With focal ratio and pixel size in the header the tilt could be given in micrometres.');
  }
  if (detail.tiltFollows.what === 'gravity') {
    advice.push(
      'The tilt turns over with the side of the pier: a joint or the draw tube sags. Tighten or support it; a shim would help on one side only.',
    );
  } else if (detail.tiltFollows.what === 'sensor') {
    advice.push(
      'The tilt keeps to the sensor on both sides of the pier: look at the adapter, the filter holder or the sensor itself.',
    );
  } else {
    advice.push(byAltitude(detail.tiltWithAltitude ?? null));
  }
  advice.push(RIG_CAUTIONS);
  return {
    answer: 'found',
    confidence,
    effect: tiltEffect(setup) / 100,
    frames: setup.facts.map((f) => ({ file: f.file, confidence })),
    evidence,
    advice: advice.join(' '),
  };
}

/** A change of the tilt this many errors large is there; one this small a part of the tilt, with its error, leaves it fixed. */
const SURE = 4;
const FIXED_PART = 0.3;

/** Whether the tilt sags, by the altitude of the telescope, where the pier side does not tell. */
function byAltitude(seen: NonNullable<OpticalDetail['tiltWithAltitude']> | null): string {
  const untold =
    'Whether it is a crooked adapter or a sagging draw tube cannot be told from these frames: frames from both sides of the pier, or from low and high in the sky, would tell. Reseat clamped joints first.';
  if (seen === null) return untold;
  const range = `between ${seen.lowDeg.toFixed(0)} and ${seen.highDeg.toFixed(0)} degrees of altitude`;
  if (seen.significance > SURE && seen.change > FIXED_PART)
    return `The tilt changes by ${(100 * seen.change).toFixed(0)} % ${range}: a joint or the draw tube sags with gravity. Tighten or support it before shimming.`;
  if (seen.change + 2 * seen.changeError < FIXED_PART)
    return `The tilt stays the same within ${(100 * (seen.change + 2 * seen.changeError)).toFixed(0)} % ${range}: it does not sag; look at the adapter, the filter holder or the sensor itself.`;
  return untold;
}
