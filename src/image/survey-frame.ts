import type { PixelPlane } from '../fits/types.js';
import { detectSources, type DetectionOptions } from './detect-sources.js';
import { findStreaks } from './find-streaks.js';
import type { BackgroundMap, SourceList, Streak } from './types.js';

/** What stands on a frame: star-like sources, brightest first, and straight trails of light. */
export function surveyFrame(
  plane: PixelPlane,
  background: BackgroundMap,
  options: DetectionOptions = {},
): { readonly sources: SourceList; readonly streaks: readonly Streak[] } {
  const { sources, signal } = detectSources(plane, background, options);
  return { sources, streaks: signal === null ? [] : findStreaks(signal) };
}
