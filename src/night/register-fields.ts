import type { FrameAssessment } from '../field/types.js';
import { matcherOn, matchStars, type StarMatch } from './match-stars.js';
import { composeSimilarity, identity, scaleAndRotation, type Similarity } from './similarity.js';
import { starPositions, type StarPositions } from './star-positions.js';
import type { Registration } from './types.js';

/** A frame laid on its field's reference. */
export interface RegisteredFrame<F> {
  readonly frame: F;
  readonly stars: StarPositions;
  readonly transform: Similarity;
  readonly registration: Registration;
}

/** Frames that show the same stars, laid on one of them (the first). */
export interface StarField<F> {
  readonly frames: readonly RegisteredFrame<F>[];
}

/** At most so many different fields are looked for among frames said to show one target: bounds the work on a night of frames without stars. */
const maxFields = 8;

/**
 * Registers frames of one camera and target by their stars.
 *
 * The reference is the frame with most measured stars. A frame that does not match it (drifted away, another panel) is tried
 * against its registered neighbours in time; frames that still match nothing are tried among themselves and become fields of
 * their own. Frames that match no other frame are in no field.
 *
 * @param frames in order of time.
 */
export function registerFields<F extends FrameAssessment>(frames: readonly F[]): StarField<F>[] {
  const prepared = frames.map((frame) =>
    starPositions(
      frame.registrationStars,
      frame.image.widthPx,
      frame.image.heightPx,
      frame.header.exposureSeconds,
    ),
  );
  const fields: StarField<F>[] = [];
  const open = new Set(frames.keys());
  for (let round = 0; round < maxFields && open.size > 0; round++) {
    const reference = richest(frames, prepared, open);
    if (reference < 0) break;
    open.delete(reference);
    const members = new Map<number, RegisteredFrame<F>>([
      [reference, asReference(frames[reference]!, prepared[reference]!)],
    ]);
    const matchOnReference = matcherOn(prepared[reference]!);
    for (const i of [...open]) {
      const match = matchOnReference(prepared[i]!);
      if (!match) continue;
      open.delete(i);
      members.set(i, registered(frames[i]!, prepared[i]!, match, identity));
    }
    if (members.size > 1) bridge(frames, prepared, open, members);
    if (members.size > 1 || frames.length === 1) {
      const order = [...members.keys()].sort((a, b) => (a === reference ? -1 : b === reference ? 1 : a - b));
      fields.push({ frames: order.map((i) => members.get(i)!) });
    }
  }
  return fields;
}

/** Adds frames that match a neighbour in time which is registered already; forwards, then backwards. */
function bridge<F extends FrameAssessment>(
  frames: readonly F[],
  prepared: readonly StarPositions[],
  open: Set<number>,
  members: Map<number, RegisteredFrame<F>>,
): void {
  for (const step of [1, -1]) {
    const order = [...open].sort((a, b) => (a - b) * step);
    for (const i of order) {
      const neighbour = members.get(i - step);
      if (!neighbour) continue;
      const match = matchStars(prepared[i]!, neighbour.stars);
      if (!match) continue;
      open.delete(i);
      members.set(i, registered(frames[i]!, prepared[i]!, match, neighbour.transform));
    }
  }
}

function richest(
  frames: readonly FrameAssessment[],
  prepared: readonly StarPositions[],
  open: ReadonlySet<number>,
): number {
  let best = -1;
  let most = 0;
  for (const i of open) {
    // The list of registration stars is capped: beyond that the number of measured stars tells.
    const stars = prepared[i]!.count === 0 ? 0 : prepared[i]!.count + frames[i]!.stars.measured;
    if (stars > most) {
      most = stars;
      best = i;
    }
  }
  return best;
}

function asReference<F>(frame: F, stars: StarPositions): RegisteredFrame<F> {
  return {
    frame,
    stars,
    transform: identity,
    registration: {
      matched: stars.count,
      dxPx: 0,
      dyPx: 0,
      rotationDeg: 0,
      scale: 1,
      flipped: false,
      rmsPx: 0,
    },
  };
}

function registered<F>(
  frame: F,
  stars: StarPositions,
  match: StarMatch,
  onwards: Similarity,
): RegisteredFrame<F> {
  const transform = composeSimilarity(match.transform, onwards);
  const { scale, rotationDeg } = scaleAndRotation(transform);
  return {
    frame,
    stars,
    transform,
    registration: {
      matched: match.matched,
      dxPx: transform.tx,
      dyPx: transform.ty,
      rotationDeg,
      scale,
      // Cone error and an unsquare camera make a flip a turn of 180 degrees give or take a few.
      flipped: Math.abs(rotationDeg) > 160,
      rmsPx: match.rmsPx,
    },
  };
}
