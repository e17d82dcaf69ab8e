import { InvalidArgumentError, Option, type Command } from 'commander';
import type { FrameOptions } from '../field/index.js';

/** Options of every command that measures frames. */
export interface FrameFlags {
  readonly scale?: number;
  readonly hdu?: number;
  readonly salvage?: boolean;
  readonly thorough?: boolean;
  readonly threads?: number;
  readonly cache: boolean;
}

/** Parse a finite number above zero. */
export function positiveNumber(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value <= 0)
    throw new InvalidArgumentError('It must be a number above 0.');
  return value;
}

/** Parse a whole number of at least zero. */
export function wholeNumber(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isInteger(value) || value < 0)
    throw new InvalidArgumentError('It must be a whole number, 0 or more.');
  return value;
}

/** Add the options of measuring to a command. */
export function addFrameOptions(command: Command): Command {
  return command
    .addOption(
      new Option(
        '--scale <arcsec>',
        'plate scale, arcsec per stored pixel, instead of the header’s',
      ).argParser(positiveNumber),
    )
    .addOption(
      new Option('--hdu <number>', 'image to measure in files with several (0 = primary)').argParser(
        wholeNumber,
      ),
    )
    .option('--salvage', 'measure the rows that exist of truncated files')
    .option('--thorough', 'measure every star, not a selection balanced over the field')
    .addOption(
      new Option(
        '--threads <number>',
        'worker threads (default: as cores and memory allow; 0: none)',
      ).argParser(wholeNumber),
    )
    .option('--no-cache', 'measure again what was measured before');
}

/** What the measuring needs of the flags. */
export function frameOptionsOf(flags: FrameFlags): Partial<FrameOptions> {
  return {
    scaleArcsecPerPx: flags.scale ?? null,
    hdu: flags.hdu ?? null,
    salvage: flags.salvage ?? false,
    thorough: flags.thorough ?? false,
  };
}
