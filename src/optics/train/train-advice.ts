import { searchSpacers } from './spacer-search.js';
import type { SpacerChoice } from './spacer-search.js';
import type { Train, TrainPart } from './train-file.js';
import { sumTrain } from './train-sum.js';
import type { JointEnd } from './train-threads.js';

/** One way to bring the train to length. */
export interface SpacerPlan {
  /** The joint where the pieces go: name of the part before and behind it. */
  readonly between: readonly [string, string];
  /** Pieces of the present train that come out there. */
  readonly takeOut: readonly TrainPart[];
  readonly choice: SpacerChoice;
  /** Error of the whole train afterwards, mm. */
  readonly errorMm: number;
}

/** What to change, and on which evidence. */
export interface SpacingAdvice {
  /** Error that is to be undone, mm: positive = sensor too far away. */
  readonly errorMm: number;
  readonly basis: 'arithmetic' | 'measured';
  readonly toleranceMm: number;
  readonly plans: readonly SpacerPlan[];
  /** Best that the box can do when nothing is within tolerance. */
  readonly nearest: SpacerPlan | null;
  readonly complete: boolean;
}

interface Place {
  readonly before: { readonly name: string; readonly end: JointEnd | null };
  readonly behind: { readonly name: string; readonly end: JointEnd | null };
  readonly removable: readonly TrainPart[];
}

/**
 * Which spacers to add or take out so that the train has the length it needs.
 *
 * Every joint of the train is tried as the place, together with the removable parts that stand there; what is already there
 * is preferred when nothing has to change.
 *
 * @param measuredErrorMm spacing error measured on the sky (ladder or rig), mm, positive = long; null = use the arithmetic of the train
 */
export function adviseSpacing(train: Train, measuredErrorMm: number | null, limit = 6): SpacingAdvice {
  const sum = sumTrain(train);
  const errorMm = measuredErrorMm ?? sum.errorMm;
  const { toleranceMm } = train.corrector;
  const plans: SpacerPlan[] = [];
  let nearest: SpacerPlan | null = null;
  let complete = true;
  for (const place of places(train)) {
    const presentMm = place.removable.reduce((total, part) => total + part.lengthMm, 0);
    const answer = searchSpacers({
      lengthMm: presentMm - errorMm,
      toleranceMm,
      before: place.before.end,
      behind: place.behind.end,
      box: [...place.removable, ...train.box],
      limit,
    });
    complete &&= answer.complete;
    const plan = (choice: SpacerChoice): SpacerPlan => ({
      between: [place.before.name, place.behind.name],
      takeOut: place.removable,
      choice,
      errorMm: choice.missMm,
    });
    plans.push(...answer.choices.map(plan));
    if (answer.nearest && (nearest === null || Math.abs(answer.nearest.missMm) < Math.abs(nearest.errorMm))) {
      nearest = plan(answer.nearest);
    }
  }
  // Joints counted over the whole train: a plan that takes pieces out is better for it.
  const joints = (p: SpacerPlan): number =>
    p.choice.joints - p.takeOut.filter((part) => part.kind !== 'shim').length;
  plans.sort(
    (a, b) =>
      joints(a) - joints(b) ||
      a.choice.clamped - b.choice.clamped ||
      a.choice.shims - b.choice.shims ||
      changedPieces(a) - changedPieces(b) ||
      Math.abs(a.errorMm) - Math.abs(b.errorMm),
  );
  // The same pieces at another joint are the same plan: the first place is as good as any.
  const seen = new Set<string>();
  const distinct = plans.filter((plan) => {
    const key = changeKey(plan);
    return seen.has(key) ? false : seen.add(key) !== undefined;
  });
  return {
    errorMm,
    basis: measuredErrorMm === null ? 'arithmetic' : 'measured',
    toleranceMm,
    plans: distinct.slice(0, limit),
    nearest: plans.length > 0 ? null : nearest,
    complete,
  };
}

/** What a plan changes, wherever it does so: pieces that come out and pieces that go in. */
function changeKey(plan: SpacerPlan): string {
  const { out, into } = changes(plan);
  return JSON.stringify([[...out].sort(), [...into].sort()]);
}

/** Pieces that the user has to handle: the fewer, the sooner it is done. */
function changedPieces(plan: SpacerPlan): number {
  const { out, into } = changes(plan);
  return out.length + into.length;
}

function changes(plan: SpacerPlan): { readonly out: readonly string[]; readonly into: readonly string[] } {
  const out = plan.takeOut.map((part) => part.name);
  const into: string[] = [];
  for (const { part, lengthMm } of plan.choice.pieces) {
    const i = out.indexOf(part.name);
    if (i >= 0 && part.rangeMm === null) out.splice(i, 1);
    else into.push(`${part.name}@${lengthMm}`);
  }
  return { out, into };
}

/** Every joint, with the removable parts around it gathered into one place. */
function places(train: Train): Place[] {
  const fixed: { name: string; front: JointEnd | null; rear: JointEnd | null }[] = [
    { name: train.corrector.name, front: null, rear: train.corrector.rear },
  ];
  const between: TrainPart[][] = [[]];
  for (const part of train.parts) {
    if (part.removable) between.at(-1)!.push(part);
    else {
      fixed.push(part);
      between.push([]);
    }
  }
  const ends = [...fixed.slice(1), { name: train.camera.name, front: train.camera.front, rear: null }];
  return fixed.map((before, i) => ({
    before: { name: before.name, end: before.rear },
    behind: { name: ends[i]!.name, end: ends[i]!.front },
    removable: between[i]!,
  }));
}
