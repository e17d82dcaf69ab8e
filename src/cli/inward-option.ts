import { Option, type Command } from 'commander';
import type { InwardCounts } from '../night/types.js';

/** The sense of the focuser, which frames alone cannot tell. */
export interface InwardFlag {
  readonly inward?: InwardCounts;
}

/** Add the option that says which way the focuser counts; `inward: positive` in starassay.yaml says it once and for all. */
export function addInwardOption(command: Command): Command {
  return command.addOption(
    new Option(
      '--inward <counts>',
      'which focuser counts move the sensor inwards, the larger (positive) or the smaller (negative)',
    ).choices(['positive', 'negative']),
  );
}
