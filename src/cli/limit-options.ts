import { InvalidArgumentError, Option, type Command } from 'commander';
import type { DecisionLimits } from '../night/types.js';
import { positiveNumber, wholeNumber } from './frame-options.js';

/** A limit that can be switched off. */
type Limit = number | 'off';

/** Options that set the limits of keep and reject. */
export interface LimitFlags {
  readonly maxFwhmRatio?: Limit;
  readonly maxFwhm?: Limit;
  readonly maxElongation?: Limit;
  readonly minTransparency?: Limit;
  readonly minWeight?: Limit;
  readonly minStars?: number;
  readonly keepBest?: number;
}

function limit(text: string): Limit {
  return text === 'off' ? 'off' : positiveNumber(text);
}

/** A ratio that no frame is below: under 1 it would reject every one. */
function ratioLimit(text: string): Limit {
  const value = limit(text);
  if (value !== 'off' && value < 1)
    throw new InvalidArgumentError('It must be 1 or more: less would reject every frame.');
  return value;
}

function partLimit(text: string): Limit {
  return text === 'off' ? 'off' : fraction(text);
}

/** Parse a part of the whole: `80%` or `0.8`, above 0 and at most 1. */
export function fraction(text: string): number {
  const match = /^\s*([\d.]+)\s*(%?)\s*$/.exec(text);
  const value = match ? Number(match[1]) / (match[2] ? 100 : 1) : NaN;
  if (!(value > 0 && value <= 1))
    throw new InvalidArgumentError('It must be a part of the whole, like 80% or 0.8.');
  return value;
}

/** Add the options that set the limits of keep and reject. */
export function addLimitOptions(command: Command): Command {
  const add = (flags: string, description: string, parse: (text: string) => Limit): void => {
    command.addOption(new Option(flags, description).argParser(parse));
  };
  add(
    '--max-fwhm-ratio <ratio>',
    'reject above this multiple of the group’s reference FWHM (default 1.25; off)',
    ratioLimit,
  );
  add('--max-fwhm <arcsec>', 'reject above this FWHM in arcsec (default off)', limit);
  add('--max-elongation <ratio>', 'reject above this elongation (default 1.35; off)', ratioLimit);
  add(
    '--min-transparency <part>',
    'reject below this part of the clear sky’s light (default 0.7; off)',
    partLimit,
  );
  add(
    '--min-weight <part>',
    'reject below this part of the group’s reference weight (default 0.3; off)',
    partLimit,
  );
  return command
    .addOption(
      new Option('--min-stars <number>', 'reject with fewer measured stars (default 6)').argParser(
        wholeNumber,
      ),
    )
    .addOption(
      new Option(
        '--keep-best <part>',
        'keep only this part of each group, the best by weight (80% or 0.8)',
      ).argParser(fraction),
    );
}

/** The limits that the flags name; those not named stay at their defaults. */
export function limitsOf(flags: LimitFlags): Partial<DecisionLimits> {
  const value = (given: Limit | undefined): number | null | undefined => (given === 'off' ? null : given);
  const named = {
    fwhmFactor: value(flags.maxFwhmRatio),
    fwhmArcsec: value(flags.maxFwhm),
    elongation: value(flags.maxElongation),
    transparency: value(flags.minTransparency),
    weight: value(flags.minWeight),
    minStars: flags.minStars,
    keepBest: flags.keepBest,
  };
  return Object.fromEntries(Object.entries(named).filter(([, given]) => given !== undefined));
}
