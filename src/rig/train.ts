import { median } from 'simple-statistics';
import { createHash } from 'node:crypto';
import type { RecordableFrame, Train } from './types.js';

/** Relative difference of focal length under which two headers mean the same optics (solved values wander a little). */
const SAME_FOCAL_LENGTH = 0.03;
/** Difference of camera angle under which the camera has not been turned, degrees. */
const SAME_ANGLE_DEG = 7.5;

/** The train of a frame as its header gives it; `key` left empty. */
export function trainOfFrame(frame: Pick<RecordableFrame, 'header' | 'scale' | 'orientation'>): Train {
  const { header, scale } = frame;
  const binning = header.binning?.[0] ?? 1;
  const pitch = scale?.pixelPitchMicron ?? null;
  const pixel = pitch !== null ? pitch / binning : (header.pixelSizeMicron?.[0] ?? null);
  // The header's focal length first: a measured one exists only for frames with a WCS and would split a night in two.
  const focal = header.focalLengthMm ?? scale?.focalLengthMm ?? null;
  const angle = header.rotatorDeg ?? frame.orientation?.northDeg ?? null;
  return {
    key: '',
    camera: tidy(header.camera),
    telescope: tidy(header.telescope),
    focalLengthMm: focal === null ? null : Math.round(focal),
    pixelMicron: pixel === null ? null : Math.round(pixel * 100) / 100,
    rotationDeg: angle === null ? null : ((angle % 180) + 180) % 180,
  };
}

/** Do two trains share camera, telescope, focal length and pixel (a rig), whatever the camera angle? */
export function sameOptics(a: Train, b: Train): boolean {
  const sameFocal =
    a.focalLengthMm === null || b.focalLengthMm === null
      ? a.focalLengthMm === b.focalLengthMm
      : Math.abs(a.focalLengthMm - b.focalLengthMm) <=
        SAME_FOCAL_LENGTH * Math.max(a.focalLengthMm, b.focalLengthMm);
  return (
    sameFocal &&
    a.camera === b.camera &&
    a.telescope === b.telescope &&
    close(a.pixelMicron, b.pixelMicron, 0.05)
  );
}

/** Same optics, and the camera at the same angle (modulo 180 degrees: a meridian flip turns nothing); an unknown angle fits any. */
export function sameTrain(a: Train, b: Train): boolean {
  return (
    sameOptics(a, b) &&
    (a.rotationDeg === null ||
      b.rotationDeg === null ||
      angleBetween(a.rotationDeg, b.rotationDeg) <= SAME_ANGLE_DEG)
  );
}

/** Smallest angle between two axes, degrees, 0 to 90. */
export function angleBetween(a: number, b: number): number {
  const difference = Math.abs(a - b) % 180;
  return Math.min(difference, 180 - difference);
}

/** Median camera angle of several trains, on the circle of 180 degrees; null when none is known. */
export function commonAngle(trains: readonly Train[]): number | null {
  const angles = trains.flatMap((train) => (train.rotationDeg === null ? [] : [train.rotationDeg]));
  if (angles.length === 0) return null;
  const unwrapped = angles.map((angle) => angle - 180 * Math.round((angle - angles[0]) / 180));
  return ((median(unwrapped) % 180) + 180) % 180;
}

/** Id of the rig that a train founds: the same on every computer, so that histories merge. */
export function rigIdOf(train: Train): string {
  return hash([train.camera, train.telescope, train.focalLengthMm, train.pixelMicron]);
}

/** The train with its key: rig id and camera angle. */
export function withKey(train: Train, rigId: string): Train {
  const angle = train.rotationDeg === null ? 'any' : String(Math.round(train.rotationDeg) % 180);
  return { ...train, key: `${rigId}@${angle}` };
}

/** What to call a rig nobody named. */
export function trainName(train: Train): string {
  const parts = [
    train.telescope,
    train.focalLengthMm === null ? null : `${train.focalLengthMm} mm`,
    train.camera,
  ];
  const name = parts.filter((part) => part !== null).join(', ');
  return name === '' ? 'unnamed rig' : name;
}

function close(a: number | null, b: number | null, tolerance: number): boolean {
  return a === null || b === null ? a === b : Math.abs(a - b) <= tolerance;
}

function tidy(text: string | null): string | null {
  const trimmed = text?.trim().replace(/\s+/g, ' ') ?? '';
  return trimmed === '' ? null : trimmed;
}

function hash(parts: readonly unknown[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 10);
}
