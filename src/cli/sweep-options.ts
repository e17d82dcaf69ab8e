import { InvalidArgumentError, Option, type Command } from 'commander';
import { UsageError } from '../errors.js';
import type { SweepOptions } from '../night/sweep/index.js';
import { positiveNumber } from './frame-options.js';
import { addInwardOption, type InwardFlag } from './inward-option.js';

/** Flags that sweep and ladder share. */
export interface SweepFlags extends InwardFlag {
  readonly micronPerStep?: number;
  readonly focalRatio?: number;
  readonly pixelSize?: number;
  readonly positionPattern?: string;
  readonly positionKeyword?: string;
  readonly positions?: readonly number[];
  readonly obstruction?: number;
  readonly wavelength?: number;
  readonly sensitivity?: number;
  readonly flange?: number;
  readonly plateRadius?: number;
  readonly pitch?: number;
  readonly screws?: readonly number[];
}

/** Parse a finite number of any sign. */
export function anyNumber(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError('It must be a number.');
  return value;
}

function numbers(text: string): number[] {
  return text.split(',').map(anyNumber);
}

function fraction(text: string): number {
  const value = Number(text);
  if (!(value >= 0 && value < 0.9)) throw new InvalidArgumentError('It must lie between 0 and 0.9.');
  return value;
}

function directions(text: string): number[] {
  const values = text.split(',').map(Number);
  if (values.length < 2 || !values.every(Number.isFinite)) {
    throw new InvalidArgumentError('It must be a list of directions in degrees, for example 90,210,330.');
  }
  return values;
}

/** Add the options that say what the headers of a sweep may leave open. */
export function addSweepOptions(command: Command): Command {
  return addInwardOption(command)
    .addOption(
      new Option(
        '--micron-per-step <n>',
        'travel of the sensor per focuser step, µm (default: header)',
      ).argParser(positiveNumber),
    )
    .addOption(
      new Option('--focal-ratio <n>', 'working focal ratio (default: header)').argParser(positiveNumber),
    )
    .addOption(
      new Option('--pixel-size <µm>', 'pitch of a stored pixel (default: header)').argParser(positiveNumber),
    )
    .option('--position-keyword <name>', 'header keyword of the focuser position (default: the usual ones)')
    .option(
      '--position-pattern <text>',
      'take the position from the file name: {step} stands for the number, as in "focus{step}_"',
    )
    .addOption(
      new Option('--positions <n,...>', 'the positions themselves, in the order of the file names').argParser(
        numbers,
      ),
    )
    .addOption(
      new Option(
        '--obstruction <ratio>',
        'inner over outer diameter of the pupil, 0 for a refractor',
      ).argParser(fraction),
    )
    .addOption(
      new Option('--wavelength <µm>', 'for the critical focus zone (default: 0.55)').argParser(
        positiveNumber,
      ),
    );
}

/** Add the options about mending a tilt. */
export function addTiltOptions(command: Command): Command {
  return command
    .addOption(
      new Option('--flange <mm>', 'diameter of the flange that a shim would lie on').argParser(
        positiveNumber,
      ),
    )
    .addOption(
      new Option('--plate-radius <mm>', 'tilt plate: screws from its centre').argParser(positiveNumber),
    )
    .addOption(new Option('--pitch <mm>', 'tilt plate: lift per turn of a screw').argParser(positiveNumber))
    .addOption(
      new Option(
        '--screws <degrees>',
        'tilt plate: directions of the screws in the picture (default: 90,210,330)',
      ).argParser(directions),
    );
}

/** The options of the sweep's assessment that the flags mean. */
export function sweepOptionsOf(flags: SweepFlags): Partial<SweepOptions> {
  if ((flags.plateRadius === undefined) !== (flags.pitch === undefined)) {
    throw new UsageError(
      'a tilt plate needs --plate-radius and --pitch',
      'Give both: distance of the screws from the centre, and lift per turn (the pitch of their thread).',
    );
  }
  return {
    micronPerStep: flags.micronPerStep ?? null,
    focalRatio: flags.focalRatio ?? null,
    pixelPitchMicron: flags.pixelSize ?? null,
    positionPattern: flags.positionPattern ?? null,
    inward: flags.inward ?? null,
    ...(flags.obstruction === undefined ? {} : { obstruction: flags.obstruction }),
    ...(flags.wavelength === undefined ? {} : { wavelengthMicron: flags.wavelength }),
    sensitivityMicronPerMm: flags.sensitivity ?? null,
    flangeMm: flags.flange ?? null,
    tiltPlate:
      flags.plateRadius === undefined || flags.pitch === undefined
        ? null
        : {
            radiusMm: flags.plateRadius,
            pitchMm: flags.pitch,
            screwDirectionsDeg: flags.screws ?? [90, 210, 330],
          },
  };
}
