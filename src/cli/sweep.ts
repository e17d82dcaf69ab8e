import { Option } from 'commander';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, type FrameFlags } from './frame-options.js';
import {
  addSweepOptions,
  addTiltOptions,
  anyNumber,
  sweepOptionsOf,
  type SweepFlags,
} from './sweep-options.js';

interface Flags extends FrameFlags, SweepFlags {
  readonly json?: boolean;
  readonly report?: string;
  readonly rig?: string;
  readonly db?: string;
}

const examples = `
A sweep: 5 to 25 frames of one field through one filter at evenly spaced focuser positions, from clearly inside to
clearly outside of focus (stars two to three times as wide as at best), 20 to 60 seconds each.

Examples:
  starassay sweep sweep/                                    everything from the headers
  starassay sweep sweep/ --micron-per-step 3.9 --focal-ratio 5.6
  starassay sweep sweep/ --position-pattern "focus{step}_"  position in the file names: focus12340_001.fits
  starassay sweep sweep/ --flange 54 --report sweep.html    shim for a 54 mm flange; page with surface and curves
  starassay sweep sweep/ --plate-radius 32 --pitch 0.5      turns of a tilt plate's screws
  starassay sweep sweep/ --inward positive                  larger counts move the camera towards the telescope`;

/** `starassay sweep`: the surface of best focus. */
export const registerSweep: RegisterCommand = (program, context) => {
  const command = program
    .command('sweep')
    .summary('a focus sweep: tilt, curvature and astigmatism in micrometres; shim and spacer advice')
    .description(
      'Measure a focus sweep: the surface of best focus over the sensor, its tilt, curvature and astigmatism in micrometres, and what to do about them.',
    )
    .argument('<path...>', 'frames of the sweep, or folders with them');
  addTiltOptions(addSweepOptions(command));
  command
    .addOption(
      new Option(
        '--sensitivity <µm/mm>',
        "this rig's curvature per mm of spacing, signed (from starassay ladder)",
      ).argParser(anyNumber),
    )
    .option('--rig <name>', 'take the sensitivity from this rig of the history')
    .option('--db <file>', 'history file for --rig')
    .option('--json', 'one JSON document (schema starassay/sweep@1)')
    .option('--report <file>', 'also write a self-contained HTML page');
  addFrameOptions(command)
    .addHelpText('after', examples)
    .action(async (paths: string[]) => {
      const [
        { resolve },
        { applyConfig },
        { measuredFrames },
        { assessSweep, defaultSweepOptions },
        { sweepPage, sweepText },
        { checkOutput, writeOutput },
      ] = await Promise.all([
        import('node:path'),
        import('./apply-config.js'),
        import('./measured-frames.js'),
        import('../night/sweep/index.js'),
        import('../report/sweep/index.js'),
        import('./write-output.js'),
      ]);
      const flags = await applyConfig<Flags>(command, context);
      if (flags.report !== undefined) checkOutput(resolve(context.cwd, flags.report));
      const given = { ...defaultSweepOptions, ...sweepOptionsOf(flags) };
      const options =
        flags.rig === undefined || flags.sensitivity !== undefined
          ? given
          : { ...given, sensitivityMicronPerMm: await recall(flags.rig, flags.db, context) };
      const sweep = assessSweep(await measuredFrames(paths, flags, context), options);
      context.out(flags.json ? `${JSON.stringify(sweep, null, 2)}\n` : sweepText(sweep, context.columns));
      if (flags.report !== undefined) {
        writeOutput(resolve(context.cwd, flags.report), sweepPage(sweep));
        context.note(`page: ${flags.report}\n`);
      }
    });
};

/** Sensitivity of a rig of the history; null, with a note, when it has none. */
async function recall(rigName: string, db: string | undefined, context: CliContext): Promise<number | null> {
  const [{ findRig, spacingSensitivity }, { withStore }] = await Promise.all([
    import('../rig/index.js'),
    import('./rig-flags.js'),
  ]);
  return withStore({ db }, context, 'read', (store) => {
    const rig = findRig(store, rigName);
    const known = spacingSensitivity(store, rig.id);
    if (known === null)
      context.note(`${rig.name}: no sensitivity in the history yet (starassay ladder --record)\n`);
    return known?.micronPerMm ?? null;
  });
}
