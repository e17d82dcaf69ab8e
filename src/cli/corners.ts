import { Option } from 'commander';
import { resolve } from 'node:path';
import type { NightAssessment } from '../causes/types.js';
import { UsageError } from '../errors.js';
import type { CornersSubject } from '../report/corners/index.js';
import type { PaletteName } from '../report/index.js';
import { assessPaths } from './assess-paths.js';
import type { CliContext, RegisterCommand } from './context.js';
import { addFrameOptions, type FrameFlags } from './frame-options.js';
import { addInwardOption, type InwardFlag } from './inward-option.js';

interface CornersFlags extends FrameFlags, InwardFlag {
  readonly json?: boolean;
  readonly picture?: string;
  readonly sheet?: string;
  readonly before?: readonly string[];
  readonly palette: PaletteName;
}

const examples = `
Examples:
  starassay corners sub_0012.fits                         the corners of one frame
  starassay corners night/ --picture corners.png          sensor map and star atlas of the kept subs, group by group
  starassay corners tonight/ --before lastweek/ --picture pair.webp     the same before and after a change of the rig
  starassay corners night/ --sheet sheet.webp             contact sheet: every sub at a glance`;

/** `starassay corners`: the sensor map of one or more frames. */
export const registerCorners: RegisterCommand = (program, context) => {
  const command = program
    .command('corners')
    .description('show the pattern over the sensor: corners, tilt, curvature, spacing; with pictures')
    .argument('<path...>', 'FITS files, or folders of them')
    .option('--json', 'one JSON document instead of text')
    .option('--picture <file>', 'draw sensor map and star atlas (.png or .webp)')
    .option('--before <path...>', 'frames taken before a change: drawn above, on the same scale')
    .option('--sheet <file>', 'draw a contact sheet of all subs (.png or .webp)')
    .addOption(
      new Option('--palette <name>', 'colours of the pictures')
        .choices(['light', 'dark', 'night'])
        .default('light'),
    );
  addInwardOption(addFrameOptions(command))
    .addHelpText('after', examples)
    .action(async (paths: string[]) => {
      const { applyConfig } = await import('./apply-config.js');
      await corners(paths, await applyConfig<CornersFlags>(command, context), context);
    });
};

async function corners(paths: readonly string[], flags: CornersFlags, context: CliContext): Promise<void> {
  const [{ pictureFormat }, { checkOutput }] = await Promise.all([
    import('../report/pictures/index.js'),
    import('./write-output.js'),
  ]);
  for (const file of [flags.picture, flags.sheet]) {
    if (file === undefined) continue;
    pictureFormat(file);
    checkOutput(resolve(context.cwd, file));
  }
  if (flags.before && flags.picture === undefined) {
    throw new UsageError('--before is drawn, and no --picture was asked for.', 'Add --picture pair.png.');
  }
  const { cornersJson, cornersReport, cornersText } = await import('../report/corners/index.js');
  const night = await assess(paths, flags, context);
  const report = cornersReport(night);
  if (flags.json) context.out(`${JSON.stringify(cornersJson(report), null, 2)}\n`);
  else if (report.subjects.length > 0)
    context.out(`${cornersText(report, { columns: context.columns, color: context.color })}\n`);
  if (report.subjects.length === 0) {
    context.note('No frame could be measured.\n');
    context.setExitCode(3);
    return;
  }
  if (flags.picture !== undefined) await drawCorners(report.subjects, flags.picture, flags, context);
  if (flags.sheet !== undefined) await drawSheet(night, flags.sheet, flags, context);
}

async function assess(
  paths: readonly string[],
  flags: CornersFlags,
  context: CliContext,
): Promise<NightAssessment> {
  const pictures = flags.picture !== undefined ? 'corners' : flags.sheet !== undefined ? 'preview' : 'none';
  const [{ safeText }, night] = await Promise.all([
    import('../report/index.js'),
    assessPaths(paths, flags, pictures, context),
  ]);
  for (const { error } of night.unreadable)
    context.note(`${safeText(`${error.message}\n  ${error.remedy}`)}\n`);
  return night;
}

async function drawCorners(
  subjects: readonly CornersSubject[],
  file: string,
  flags: CornersFlags,
  context: CliContext,
): Promise<void> {
  const [{ cornersPicture, pictureFormat }, { cornersReport }, { writeOutput }] = await Promise.all([
    import('../report/pictures/index.js'),
    import('../report/corners/index.js'),
    import('./write-output.js'),
  ]);
  const before = flags.before ? cornersReport(await assess(flags.before, flags, context)).subjects : [];
  const entries = [
    ...before.map((subject) => ({ label: `Before: ${subject.name}`, subject })),
    ...subjects.map((subject) => ({
      label: flags.before ? `After: ${subject.name}` : subject.name,
      subject,
    })),
  ];
  const picture = await cornersPicture(entries, { palette: flags.palette, format: pictureFormat(file) });
  writeOutput(resolve(context.cwd, file), picture);
  context.note(`picture written to ${file}\n`);
}

async function drawSheet(
  night: NightAssessment,
  file: string,
  flags: CornersFlags,
  context: CliContext,
): Promise<void> {
  const [{ contactSheet, pictureFormat }, { writeOutput }] = await Promise.all([
    import('../report/pictures/index.js'),
    import('./write-output.js'),
  ]);
  const sheet = await contactSheet(night, { palette: flags.palette, format: pictureFormat(file) });
  writeOutput(resolve(context.cwd, file), sheet);
  context.note(`contact sheet written to ${file}\n`);
}
