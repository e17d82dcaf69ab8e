import type { SpacerPlan, SpacingAdvice } from '../../optics/train/index.js';
import type { TrainWarning } from '../../optics/train/index.js';
import type { Train } from '../../optics/train/index.js';
import type { TrainSum } from '../../optics/train/index.js';
import { jointEndText, RIG_CAUTIONS } from '../../optics/train/index.js';
import type { VignettingCheck } from '../../optics/train/index.js';
import { count, fixed, signed } from '../numbers.js';
import { wrapLines } from '../terminal-text.js';

/** A train with everything that was worked out about it: what the text, the drawing and the JSON are made of. */
export interface TrainReport {
  readonly train: Train;
  readonly sum: TrainSum;
  readonly vignetting: VignettingCheck;
  readonly warnings: readonly TrainWarning[];
  readonly advice: SpacingAdvice;
}

/** Width of the drawing where no terminal gives one, and the most it takes. */
const DRAWING = 100;

/** The train as text for a terminal of `columns` (null: piped, not wrapped): parts, drawing, sum, advice. */
export function trainText(report: TrainReport, columns: number | null): string {
  const { train, sum } = report;
  const lines = [
    train.name,
    '',
    ...partTable(report),
    '',
    ...trainBar(report, Math.min(columns ?? DRAWING, DRAWING)),
    '',
    `Length of the train         ${fixed(sum.totalMm, 2)} mm`,
    `Asked for by ${train.corrector.name}: ${fixed(sum.requiredMm, 2)} mm${
      sum.glassShiftMm > 0
        ? ` + ${fixed(sum.glassShiftMm, 2)} mm for the glass = ${fixed(sum.wantedMm, 2)} mm`
        : ''
    } (± ${fixed(sum.toleranceMm, 2)} mm${train.corrector.toleranceGiven ? '' : ', assumed: common practice'})`,
    `Error                       ${signed(sum.errorMm, 2)} mm: ${verdictText(sum)}`,
    '',
    ...adviceText(report),
  ];
  const rest = report.warnings.filter((warning) => warning.code !== 'spacing');
  if (rest.length > 0) lines.push('', ...warningText(rest));
  return `${wrapLines(lines.join('\n'), columns)}\n`;
}

/** The warnings of a train, faults first, one a line, wrapped to the terminal where `columns` is given. */
export function warningText(warnings: readonly TrainWarning[], columns: number | null = null): string[] {
  const rank = { fault: 0, caution: 1, note: 2 } as const;
  const label = { fault: 'Does not fit', caution: 'Look at', note: 'Note' } as const;
  return [...warnings]
    .sort((a, b) => rank[a.severity] - rank[b.severity])
    .map((w) => wrapLines(`${label[w.severity]}: ${w.message}`, columns));
}

function verdictText(sum: TrainSum): string {
  if (sum.verdict === 'within-tolerance') return 'within tolerance';
  return sum.verdict === 'short' ? 'short, the sensor sits too close' : 'long, the sensor sits too far away';
}

function partTable({ train, sum, vignetting }: TrainReport): string[] {
  const opening = new Map(vignetting.openings.map((o) => [o.name, o]));
  const cone = (name: string): string => {
    const o = opening.get(name);
    if (!o) return '';
    return `${fixed(o.clearMm, 1)}${o.assumed ? '*' : ''} / ${fixed(o.neededMm, 1)}`;
  };
  const rows = [
    ['part', 'length', 'to sensor', 'clear / cone', 'joints'],
    [
      train.corrector.name,
      '',
      fixed(sum.totalMm, 2),
      cone(train.corrector.name),
      `-> ${jointEndText(train.corrector.rear)}`,
    ],
    ...sum.parts.map(({ part, frontToSensorMm }) => [
      part.name,
      fixed(part.lengthMm, 2),
      fixed(frontToSensorMm, 2),
      cone(part.name),
      part.kind === 'shim' ? 'shim' : `${jointEndText(part.front)} -> ${jointEndText(part.rear)}`,
    ]),
    [
      train.camera.name,
      fixed(train.camera.sensorDepthMm, 2),
      fixed(train.camera.sensorDepthMm, 2),
      cone(train.camera.name),
      `${jointEndText(train.camera.front)} ->`,
    ],
  ];
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => row[c]!.length)));
  const lines = rows.map((row) =>
    row
      .map((text, c) => (c === 0 || c === 4 ? text.padEnd(widths[c]!) : text.padStart(widths[c]!)))
      .join('  ')
      .trimEnd(),
  );
  if (vignetting.openings.some((o) => o.assumed))
    lines.push('* clear aperture not given: usual for that joint');
  return lines;
}

/** The train drawn to scale in one line of text, the sensor at the right end, with the wanted length under it. */
function trainBar({ train, sum }: TrainReport, columns: number): string[] {
  const longest = Math.max(sum.totalMm, sum.wantedMm);
  const room = Math.max(30, columns - 4);
  const perMm = room / longest;
  const at = (toSensorMm: number): number => Math.round((longest - toSensorMm) * perMm);
  const cells: string[] = new Array<string>(room + 1).fill(' ');
  const write = (from: number, to: number, text: string): void => {
    for (let i = from + 1; i < to; i += 1) cells[i] = '-';
    [...text].slice(0, Math.max(0, to - from - 1)).forEach((c, i) => (cells[from + 1 + i] = c));
    cells[from] = '|';
  };
  for (const { part, frontToSensorMm, rearToSensorMm } of sum.parts)
    write(at(frontToSensorMm), at(rearToSensorMm), part.name);
  write(at(train.camera.sensorDepthMm), at(0), train.camera.name);
  cells[room] = '#';
  const wanted: string[] = new Array<string>(room + 1).fill(' ');
  const start = at(sum.wantedMm);
  for (let i = start; i < room; i += 1) wanted[i] = '.';
  wanted[start] = '^';
  const label = ` wanted ${fixed(sum.wantedMm, 2)} mm `;
  [...label].forEach((c, i) => {
    if (start + 2 + i < room) wanted[start + 2 + i] = c;
  });
  return [cells.join('').trimEnd(), wanted.join('').trimEnd()];
}

function adviceText({ advice, sum, train }: TrainReport): string[] {
  const lines: string[] = [];
  if (advice.basis === 'measured') {
    const side = advice.errorMm < 0 ? 'too close' : 'too far away';
    lines.push(
      `Measured on the sky: ${signed(advice.errorMm, 2)} mm (sensor ${side}). The sky wins over the arithmetic${
        Math.abs(advice.errorMm - sum.errorMm) > advice.toleranceMm
          ? `, which differs by ${fixed(Math.abs(advice.errorMm - sum.errorMm), 2)} mm: check the lengths and from which face the maker counts.`
          : ', and agrees with it within tolerance.'
      }`,
    );
  }
  if (Math.abs(advice.errorMm) <= advice.toleranceMm) {
    lines.push('The length is right: nothing to add or take out.');
    return lines;
  }
  const change = advice.errorMm < 0 ? 'add' : 'take out';
  lines.push(`To ${change}: ${fixed(Math.abs(advice.errorMm), 2)} mm.`);
  if (advice.plans.length > 0) {
    lines.push(`With what is in the box (fewest joints first, threads before clamps):`);
    advice.plans.forEach((plan, i) => lines.push(`  ${i + 1}. ${planText(plan)}`));
    lines.push(RIG_CAUTIONS);
  } else if (train.box.length === 0 && !train.parts.some((part) => part.removable)) {
    lines.push('List your spacers and shims under `box:` and I work out which to use.');
  } else if (advice.nearest) {
    lines.push(`Nothing in the box meets the tolerance of ${fixed(advice.toleranceMm, 2)} mm. Nearest:`);
    lines.push(`     ${planText(advice.nearest)}`);
  } else {
    lines.push('No set of the pieces in the box fits the threads of any joint of the train.');
  }
  if (!advice.complete) lines.push('The box is so large that not every set was tried.');
  return lines;
}

/** One plan in words: what comes out, what goes in, where, and what error is left. */
export function planText(plan: SpacerPlan): string {
  const pieces = plan.choice.pieces.map(
    ({ part, reversed, lengthMm }) =>
      `${part.name}${part.rangeMm ? ` at ${fixed(lengthMm, 2)} mm` : ''}${reversed ? ' (turned round)' : ''}`,
  );
  const stays = [...plan.takeOut];
  const added = plan.choice.pieces.filter(({ part }) => {
    const i = stays.indexOf(part);
    if (i >= 0) stays.splice(i, 1);
    return i < 0;
  });
  const out = stays.length > 0 ? `take out ${stays.map((part) => part.name).join(' + ')}; ` : '';
  const between = `between ${plan.between[0]} and ${plan.between[1]}`;
  const stack = pieces.length === 0 ? `nothing ${between}` : `${pieces.join(' + ')} ${between}`;
  const what = added.length === 0 ? '' : `, ${count(added.length, 'piece')} new`;
  const clamped = plan.choice.clamped > 0 ? `, ${count(plan.choice.clamped, 'clamped joint')}` : '';
  const unchecked = plan.choice.unchecked ? ', joints not all given: check them' : '';
  return `${out}${stack} (leaves ${signed(plan.errorMm, 2)} mm${what}${clamped}${unchecked})`;
}
