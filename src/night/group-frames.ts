import type { FrameAssessment } from '../field/types.js';
import { compareNatural } from './natural-order.js';

/** Frames that may be compared with each other. */
export interface FrameGroup<F extends FrameAssessment = FrameAssessment> {
  readonly name: string;
  readonly frames: readonly F[];
}

/** What tells groups apart, in the order in which a name lists it; the first three are always named. */
interface GroupKey {
  readonly target: string;
  readonly filter: string;
  readonly exposure: string;
  readonly gain: string;
  readonly binning: string;
  readonly camera: string;
  readonly size: string;
}

/** Two exposure times within this fraction count as the same: shutters and programs write 300.045 for 300. */
const exposureTolerance = 0.02;

/**
 * Sorts frames by start of exposure, then by natural order of their names; frames without a time come last.
 */
export function sortByTime<F extends FrameAssessment>(frames: readonly F[]): F[] {
  return [...frames].sort((a, b) => {
    const timeA = a.header.dateObs ?? '\uffff';
    const timeB = b.header.dateObs ?? '\uffff';
    return timeA < timeB ? -1 : timeA > timeB ? 1 : compareNatural(a.file, b.file);
  });
}

/**
 * Groups frames by target, filter, exposure, gain, binning, camera and image size.
 *
 * Names are compared without regard to case and blanks; exposures within 2 % are one group. A group's name lists target, filter
 * and exposure, and of the rest what is needed to tell it from the others. Order: by first frame.
 */
export function groupFrames<F extends FrameAssessment>(frames: readonly F[]): FrameGroup<F>[] {
  const exposureOf = exposureLabels(frames.map((frame) => frame.header.exposureSeconds));
  const groups = new Map<string, { key: GroupKey; frames: F[] }>();
  for (const frame of frames) {
    const key = keyOf(frame, exposureOf);
    const id = Object.values(key).map(comparable).join('\n');
    const group = groups.get(id);
    if (group) group.frames.push(frame);
    else groups.set(id, { key, frames: [frame] });
  }
  const list = [...groups.values()];
  const names = groupNames(list.map((group) => group.key));
  return list.map((group, i) => ({ name: names[i] ?? '', frames: group.frames }));
}

/**
 * Sets of frames that show the same stars through the same camera, whatever the filter and exposure: to be registered together.
 */
export function groupByField<F extends FrameAssessment>(frames: readonly F[]): F[][] {
  return setsBy(frames, (frame) => [
    frame.header.object,
    frame.header.camera,
    frame.header.binning?.join('x'),
    `${frame.image.widthPx}x${frame.image.heightPx}`,
  ]);
}

/**
 * Sets of frames whose fluxes per second of exposure are on one scale: same filter, gain, offset-free counts of one camera.
 */
export function groupByFluxScale<F extends FrameAssessment>(frames: readonly F[]): F[][] {
  return setsBy(frames, (frame) => [
    frame.header.filter,
    String(frame.header.gain),
    frame.header.camera,
    frame.header.binning?.join('x'),
  ]);
}

function setsBy<F>(frames: readonly F[], partsOf: (frame: F) => (string | null | undefined)[]): F[][] {
  const sets = new Map<string, F[]>();
  for (const frame of frames) {
    const id = partsOf(frame)
      .map((part) => comparable(part ?? ''))
      .join('\n');
    const set = sets.get(id);
    if (set) set.push(frame);
    else sets.set(id, [frame]);
  }
  return [...sets.values()];
}

function shown(text: string | null): string {
  return text?.trim().replace(/\s+/g, ' ') ?? '';
}

function comparable(text: string): string {
  return text.toLowerCase().replace(/\s+/g, '');
}

function keyOf(frame: FrameAssessment, exposureOf: (seconds: number | null) => string): GroupKey {
  const { header, image } = frame;
  return {
    target: shown(header.object) || 'unnamed target',
    filter: shown(header.filter) || 'no filter',
    exposure: exposureOf(header.exposureSeconds),
    gain: header.gain === null ? 'gain unknown' : `gain ${header.gain}`,
    binning: header.binning === null ? 'binning unknown' : `binning ${header.binning.join('x')}`,
    camera: shown(header.camera) || 'camera unknown',
    size: `${image.widthPx} x ${image.heightPx} px`,
  };
}

function exposureLabels(exposures: readonly (number | null)[]): (seconds: number | null) => string {
  const sorted = [...new Set(exposures.filter((seconds) => seconds !== null))].sort((a, b) => a - b);
  const label = new Map<number, string>();
  let first = Number.NaN;
  for (const seconds of sorted) {
    if (!(seconds <= first * (1 + exposureTolerance))) first = seconds;
    label.set(seconds, `${Number(first.toPrecision(3))} s`);
  }
  return (seconds) => (seconds === null ? 'exposure unknown' : (label.get(seconds) ?? `${seconds} s`));
}

/** Target, filter and exposure, and of the rest what tells the group from others of the same three. */
function groupNames(keys: readonly GroupKey[]): string[] {
  const base = (key: GroupKey): string => [key.target, key.filter, key.exposure].join(', ');
  const siblings = new Map<string, GroupKey[]>();
  for (const key of keys) siblings.set(base(key), [...(siblings.get(base(key)) ?? []), key]);
  return keys.map((key) => {
    const alike = siblings.get(base(key))!;
    const telling = (['gain', 'binning', 'camera', 'size'] as const).filter(
      (part) => new Set(alike.map((other) => comparable(other[part]))).size > 1,
    );
    return [base(key), ...telling.map((part) => key[part])].join(', ');
  });
}
