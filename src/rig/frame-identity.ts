import { createHash } from 'node:crypto';
import type { RecordableFrame } from './types.js';

/**
 * Identity of a frame that does not depend on where its file lies or what it is called: 32 hex digits.
 *
 * It is made of what the camera wrote and nobody edits (start of exposure, exposure, image size, sensor temperature, focuser
 * position, camera, telescope), not of measured figures, so that a better measurement later finds the same frame again, and not of
 * the file's length, so that a compressed copy does too. Where the header can't tell two frames apart (no time of day, or
 * exposures so short that several share a time stamp written to the second) the length and a few figures are added.
 */
export function frameIdentity(frame: RecordableFrame): string {
  const { header, image } = frame;
  const parts: unknown[] = [
    header.dateObs,
    header.exposureSeconds,
    image.widthPx,
    image.heightPx,
    header.temperatureC,
    header.focuserPosition,
    header.camera,
    header.telescope,
  ];
  if (!timeStampTells(frame)) parts.push(frame.fileBytes, figureMark(frame));
  return digest(parts);
}

/**
 * Identities of the frames of one recording, in their order: as `frameIdentity`, but frames that share one though their
 * figures differ (two equal cameras on one mount) get the figures added and stay apart; true copies share one.
 */
export function frameIdentities(frames: readonly RecordableFrame[]): string[] {
  const marks = new Map<string, Set<string>>();
  const plain = frames.map((frame) => {
    const identity = frameIdentity(frame);
    const seen = marks.get(identity) ?? new Set();
    marks.set(identity, seen.add(figureMark(frame)));
    return identity;
  });
  return plain.map((identity, i) =>
    (marks.get(identity)?.size ?? 1) > 1 ? digest([identity, figureMark(frames[i])]) : identity,
  );
}

function timeStampTells(frame: RecordableFrame): boolean {
  const { dateObs, exposureSeconds } = frame.header;
  if (dateObs === null || dateObs.includes('T00:00:00.000')) return false;
  return (exposureSeconds ?? 0) >= 1.5 || !dateObs.endsWith('.000Z');
}

function figureMark(frame: RecordableFrame): string {
  const [level, noise] = [frame.background.level, frame.background.noise];
  // Only figures that a saved document holds as well, to fewer digits than it holds.
  return digest([level?.toPrecision(5), noise?.toPrecision(4), frame.fwhm.px?.toPrecision(4)]);
}

function digest(parts: readonly unknown[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 32);
}
