import type { RegisterCommand } from './context.js';

/** `starassay simulate`: frames with known faults, and the truth beside them. */
export const registerSimulate: RegisterCommand = (program, context) => {
  program
    .command('simulate')
    .argument('[scenario]', 'built-in name (see --list), or a YAML or JSON file')
    .description('write FITS frames with known faults, and truth.json beside them')
    .option('-o, --out <folder>', 'folder to write to; must be new or empty')
    .option('--seed <n>', 'seed of the random numbers; equal seeds give equal files')
    .option('--frames <n>', 'number of frames (of a rig-year: per night); what goes wrong keeps its place')
    .option('--size <WxH>', 'size of the frames in pixels, e.g. 1000x700')
    .option('--date <YYYY-MM-DD>', 'evening on which the night begins, so that several make a history')
    .option('--force', 'write anew what an earlier simulation left in the folder; nothing else is touched')
    .option('--list', 'list the built-in scenarios')
    .addHelpText(
      'after',
      `
Examples:
  starassay simulate --list
  starassay simulate sample-night --out my-night
  starassay simulate my-fault.yaml --out my-night --seed 7 --frames 20
  starassay simulate clean-night --out second-night --seed 2 --date 2026-09-13
  starassay simulate focus-sweep --out sweep
  starassay simulate rig-year --out year      (months of figures for the history, no frames)
`,
    )
    .action(async (scenarioName: string | undefined, options: SimulateOptions) => {
      const { runSimulate } = await import('./simulate-run.js');
      await runSimulate(scenarioName, options, context);
    });
};

/** Options of the command as commander hands them over. */
export interface SimulateOptions {
  readonly out?: string;
  readonly seed?: string;
  readonly frames?: string;
  readonly size?: string;
  readonly date?: string;
  readonly force?: boolean;
  readonly list?: boolean;
}
