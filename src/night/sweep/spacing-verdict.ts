import type { Measured, SpacingVerdict } from './types.js';

/** What the verdict is made from, micrometres at the corner. */
export interface SpacingEvidence {
  readonly medial: Measured;
  readonly astigmatism: Measured;
  /** Critical focus zone in total; null without a focal ratio. */
  readonly zoneMicron: number | null;
  /** Medial curvature per mm of added spacing, signed; null when this rig has no ladder yet. */
  readonly sensitivityMicronPerMm: number | null;
  /** Was the direction of the focuser said by the user? */
  readonly signGiven: boolean;
}

/** Errors by which a curvature must stand out. */
const SIGNIFICANT = 3;

/**
 * Does the medial surface say that the sensor sits too close to the corrector (short) or too far away (long)?
 *
 * With the rig's own sensitivity the error follows from medial curvature / sensitivity. Without it the usual sense is taken (more
 * spacing moves the corners' focus outwards), and the rule of thumb (radial corners = short: common practice, no source) is
 * weighed beside it: of the third-order surfaces focused at the centre, M_rr - M_tt goes as medial x astigmatism, so the
 * rule only speaks while the spacing's share of the astigmatism is smaller than the design's own.
 */
export function judgeSpacing(evidence: SpacingEvidence): SpacingVerdict {
  const { medial, astigmatism, zoneMicron, sensitivityMicronPerMm: sensitivity } = evidence;
  const size = Math.abs(medial.value);
  const reasoning: string[] = [
    `the corners focus ${micron(size)} ± ${micron(medial.error)} ${medial.value >= 0 ? 'farther out' : 'farther in'} than the centre (mean of the two surfaces)`,
  ];
  const errorMm = sensitivity === null ? null : medial.value / sensitivity;
  const errorMmError = sensitivity === null ? null : Math.abs(medial.error / sensitivity);
  const halfZone = zoneMicron === null ? null : zoneMicron / 2;

  if (halfZone !== null && size + 2 * medial.error < halfZone) {
    reasoning.push(
      `that is inside half the critical focus zone (${micron(halfZone)}): the spacing is as good as the light can tell`,
    );
    return { verdict: 'right', errorMm, errorMmError, confidence: 0.9, reasoning };
  }
  if (size < SIGNIFICANT * medial.error) {
    reasoning.push(
      'that is not more than the measurement can feign: more frames, more stars or a longer sweep would tell',
    );
    return { verdict: 'cannot-tell', errorMm, errorMmError, confidence: 0, reasoning };
  }
  if (sensitivity !== null && errorMm !== null) {
    reasoning.push(
      `at this rig's ${sensitivity.toFixed(0)} µm per mm the sensor sits ${Math.abs(errorMm).toFixed(2)} mm too ${errorMm < 0 ? 'close' : 'far away'}`,
    );
    return { verdict: errorMm < 0 ? 'short' : 'long', errorMm, errorMmError, confidence: 0.95, reasoning };
  }
  const usual = medial.value < 0 ? 'short' : 'long';
  reasoning.push(
    `with most correctors more spacing moves the corners' focus outwards: that reads as spacing ${usual}; some designs do the reverse`,
  );
  let confidence = 0.7;
  if (Math.abs(astigmatism.value) >= SIGNIFICANT * astigmatism.error) {
    const ratio = medial.value / astigmatism.value;
    const ratioError =
      Math.abs(ratio) * Math.hypot(medial.error / medial.value, astigmatism.error / astigmatism.value);
    if (Math.abs(ratio - 2) < 2 * Math.max(ratioError, 0.1)) {
      reasoning.push(
        'tangential and sagittal surface stand three to one, as a spacing error alone makes them: the direction in which corner stars are drawn out says nothing then',
      );
    } else {
      // Spacing error x in units of the design's astigmatism: ratio 2x/(1 + x), between 0 and 2 on one side of the nominal spacing only.
      const rule = ratio > 0 && ratio < 2 ? 'short' : 'long';
      reasoning.push(
        ratio > 2
          ? 'the medial surface is bent more than twice as much as the surfaces part: by third order the far side of the nominal spacing, long by the rule of thumb (common practice, no source)'
          : `focused at the centre the corner stars are drawn out ${rule === 'short' ? 'along the radius' : 'around the centre'}: by the rule of thumb spacing ${rule} (common practice, no source)`,
      );
      confidence = rule === usual ? 0.8 : 0.5;
      if (rule !== usual)
        reasoning.push(
          'the two do not agree: change the spacing by 0.5 to 1 mm and sweep again (a ladder settles it)',
        );
    }
  }
  if (!evidence.signGiven) {
    reasoning.push(
      'this takes larger focuser counts as outwards; if yours run the other way, say --inward positive and the verdict turns round',
    );
  }
  return { verdict: usual, errorMm: null, errorMmError: null, confidence, reasoning };
}

function micron(value: number): string {
  return `${value.toFixed(value < 10 ? 1 : 0)} µm`;
}
