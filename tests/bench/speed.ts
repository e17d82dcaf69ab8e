/*
 * How fast a frame and a night are assessed: `npm run bench`, or `npm run bench -- --quick`. Contestants take turns in one run on one machine; single frames are
 * compared by processor time, nights by the clock, with what other programs took of the processors meanwhile: a night beside much other work is void.
 * Medians with the 10th and 90th percentile. Frames are seeded and kept in the folder for temporary files (`--clean` removes the nights).
 */
import { spawn, spawnSync } from 'node:child_process';
import {
  closeSync,
  copyFileSync,
  existsSync,
  fstatSync,
  mkdirSync,
  openSync,
  readSync,
  rmSync,
  utimesSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeBigFrame, type SensorName } from './make-big-frame.js';
import { sepGates } from './sep-gates.js';
import { startSep, type SepAnswer } from './sep-contestant.js';
import {
  machineTime,
  peakMemoryMb,
  processorTime,
  processorTimeOf,
  showMs,
  spread,
  type Spread,
} from './timing.js';

const built = (path: string): string => fileURLToPath(new URL(`../../dist/src/${path}`, import.meta.url));
const command = built('cli/main.js');
const quick = process.argv.includes('--quick');
const rounds = quick ? 8 : 40;
/** Rounds that warm the compiler and the page cache. */
const warmUp = quick ? 4 : 10;
const nightFrames = quick ? 16 : 40;
/** Part of the processors that other work may take before a night's time says nothing. */
const mostOtherWork = 0.1;
const say = (text: string): void => void process.stdout.write(`${text}\n`);

const verdicts: string[] = [];
function verdict(
  what: string,
  value: number,
  limit: number,
  sense: 'at least' | 'at most',
  unit = 'x',
  digits = 1,
): void {
  const isMet = sense === 'at least' ? value >= limit : value <= limit;
  verdicts.push(
    `${isMet ? 'met   ' : 'MISSED'}  ${what}: ${value.toFixed(digits)} ${unit}, ${sense} ${limit} ${unit}`,
  );
}

/** Read a file whole into a buffer that is used again and again: the floor under any reader. */
function plainRead(path: string, buffer: Uint8Array): void {
  const handle = openSync(path, 'r');
  const size = fstatSync(handle).size;
  for (let at = 0; at < size;) at += readSync(handle, buffer, at, size - at, at);
  closeSync(handle);
}

const modules = {
  field: {
    ...(await import(built('field/index.js'))),
    ...(await import(built('field/frame/index.js'))),
  },
  fits: await import(built('fits/index.js')),
  image: await import(built('image/index.js')),
  stars: await import(built('stars/index.js')),
  kernels: await import(built('kernels/index.js')),
};

const stageNames = {
  read: 'plain warm read into a reused buffer',
  pixels: 'header and pixels',
  background: 'background map',
  survey: 'detection and streaks',
  stars: 'detection, streaks, moments, fits, half-flux',
  whole: 'complete assessment',
  sep: 'SEP: read, background, extract, half-flux, windowed positions',
} as const;
type Stage = keyof typeof stageNames;

/** Times single frames; returns what SEP took for one, ms, where it is installed. */
async function singleFrames(): Promise<ReadonlyMap<SensorName, number>> {
  const sepMs = new Map<SensorName, number>();
  const { assessFrame, defaultFrameOptions } = modules.field;
  const { chooseImage, openFits, readPlane } = modules.fits;
  const { measureBackground, surveyFrame } = modules.image;
  const scratch = modules.kernels.createPixelMemory();
  const buffer = new Uint8Array(150_000_000);
  const sep = startSep();
  if (sep === null) say('python3-sep is not installed: no comparison with it');
  const assess = (path: string): Promise<{ frame: Record<string, never> }> =>
    assessFrame({ path, file: path, options: defaultFrameOptions });

  for (const sensor of (quick ? ['26 Mpx'] : ['16 Mpx', '26 Mpx', '62 Mpx']) as SensorName[]) {
    const path = makeBigFrame(sensor, 3000, 1);
    const times = new Map<Stage, number[]>();
    let theirs: SepAnswer | null = null;
    let ours: { stars: { detected: number; measured: number }; hfd: { px: number } } | null = null;
    for (let round = -warmUp; round < rounds; round += 1) {
      const time = <T>(stage: Stage, work: () => T): T => {
        const from = processorTime();
        const result = work();
        if (round >= 0) times.set(stage, [...(times.get(stage) ?? []), processorTime() - from]);
        return result;
      };
      time('read', () => plainRead(path, buffer));
      const fits = openFits(path);
      const plane = time('pixels', () => readPlane(fits, chooseImage(fits), { scratch }));
      const background = time('background', () => measureBackground(plane));
      time('survey', () => surveyFrame(plane, background));
      time('stars', () => modules.stars.measureStars(plane, background));
      fits.close();
      const from = processorTime();
      ours = (await assess(path)).frame as unknown as typeof ours;
      if (round >= 0) times.set('whole', [...(times.get('whole') ?? []), processorTime() - from]);
      if (sep !== null && round >= 0 && round < 12) {
        theirs = await sep.ask(path);
        times.set('sep', [...(times.get('sep') ?? []), theirs.ms]);
      }
    }
    const of = (stage: Stage): Spread => spread(times.get(stage) ?? []);
    say(
      `\n${sensor}, 16 bit, 3000 stars planted, one thread, processor time (${ours!.stars.detected} detected, ${ours!.stars.measured} measured)`,
    );
    for (const stage of Object.keys(stageNames) as Stage[]) {
      if (times.has(stage)) say(`  ${stageNames[stage].padEnd(64)}${showMs(of(stage))}`);
    }
    const whole = of('whole').median;
    verdict(`${sensor}: complete assessment over plain warm read`, whole / of('read').median, 8, 'at most');
    if (theirs !== null) {
      sepMs.set(sensor, of('sep').median);
      verdict(
        `${sensor}: SEP through python over complete assessment`,
        of('sep').median / whole,
        14,
        'at least',
      );
      compareFindings(sensor, path, ours!.hfd.px / 2, theirs);
    }
  }
  sep?.stop();
  await starCounts(assess);
  return sepMs;
}

/** Speed counts only where the findings agree. */
function compareFindings(sensor: SensorName, path: string, halfFluxRadius: number, theirs: SepAnswer): void {
  const { chooseImage, openFits, readPlane } = modules.fits;
  const { measureBackground, surveyFrame } = modules.image;
  const fits = openFits(path);
  const plane = readPlane(fits, chooseImage(fits), {});
  fits.close();
  const background = measureBackground(plane);
  const { matched, skyError } = sepGates(sensor, surveyFrame(plane, background).sources, background, theirs);
  const radii = Math.abs(halfFluxRadius / theirs.halfFluxRadius - 1);
  verdict(`${sensor}: half-flux radius off that of SEP`, 100 * radii, 1, 'at most', '%', 2);
  verdict(`${sensor}: SEP's star-like objects found`, 100 * matched, 98, 'at least', '%', 2);
  verdict(`${sensor}: error of the sky over that of SEP's`, skyError, 1.15, 'at most', 'x', 2);
}

/** Cost against the number of stars, in turns. */
async function starCounts(assess: (path: string) => Promise<unknown>): Promise<void> {
  const paths = [300, 20_000].map((stars) => makeBigFrame('26 Mpx', stars, 1));
  const times: [number[], number[]] = [[], []];
  for (let round = -3; round < Math.ceil(rounds / 2); round += 1) {
    for (const which of [0, 1] as const) {
      const from = processorTime();
      await assess(paths[which]!);
      if (round >= 0) times[which].push(processorTime() - from);
    }
  }
  const [few, many] = [spread(times[0]), spread(times[1])];
  say(`\n26 Mpx with 300 stars    ${showMs(few)}\n26 Mpx with 20,000 stars ${showMs(many)}`);
  verdict('20,000 stars over 300', many.median / few.median, 2, 'at most');
}

interface NightRun {
  readonly wallMs: number;
  readonly processorMs: number;
  readonly memoryMb: number;
  /** Part of the machine's processors that other programs took meanwhile. */
  readonly otherWork: number;
}

async function runNight(folder: string, threads: number): Promise<NightRun> {
  const from = performance.now();
  const before = machineTime();
  const child = spawn(
    process.execPath,
    [command, 'cull', folder, '--quiet', '--json', '--no-cache', '--threads', String(threads)],
    { stdio: ['ignore', 'ignore', 'inherit'] },
  );
  let memoryMb = 0;
  let processorMs = 0;
  const timer = setInterval(() => {
    memoryMb = Math.max(memoryMb, peakMemoryMb(child.pid!));
    processorMs = Math.max(processorMs, processorTimeOf(child.pid!));
  }, 20);
  await new Promise((done) => child.on('exit', done));
  clearInterval(timer);
  const wallMs = performance.now() - from;
  const otherWork = Math.max(0, machineTime() - before - processorMs) / wallMs / 2;
  return { wallMs, processorMs, memoryMb, otherWork };
}

/** Time until two processes that share nothing have each measured the night on one thread, ms. */
async function twoProcesses(folder: string): Promise<number> {
  const both = await Promise.all([runNight(folder, 1), runNight(folder, 1)]);
  return Math.max(...both.map((run) => run.wallMs));
}

function makeNight(sensor: SensorName, count: number): string {
  const folder = join(tmpdir(), 'starassay-bench', `field-${sensor.replace(' ', '')}-${count}`);
  if (existsSync(folder)) return folder;
  mkdirSync(folder, { recursive: true });
  for (let i = 0; i < count; i++) {
    const copy = join(folder, `sub_${String(i).padStart(3, '0')}.fits`);
    copyFileSync(makeBigFrame(sensor, 3000, 1, i % 4), copy);
    utimesSync(copy, i, i);
  }
  return folder;
}

async function nights(): Promise<void> {
  for (const [sensor, memoryLimit] of [
    ['26 Mpx', 250],
    ['62 Mpx', 400],
  ] as const) {
    const count = sensor === '62 Mpx' ? Math.ceil(nightFrames / 4) : nightFrames;
    const folder = makeNight(sensor, count);
    const runs: [NightRun[], NightRun[]] = [[], []];
    const apart: number[] = [];
    for (let round = 0; round < (quick ? 1 : 3); round++) {
      for (const which of [0, 1] as const) runs[which].push(await runNight(folder, which + 1));
      apart.push(await twoProcesses(folder));
    }
    say(`\na night of ${count} frames of ${sensor} through the command, start-up included, by the clock`);
    for (const which of [0, 1] as const) {
      const time = spread(runs[which].map((run) => run.wallMs));
      const processor = spread(runs[which].map((run) => run.processorMs));
      const memory = Math.max(...runs[which].map((run) => run.memoryMb));
      const other = Math.max(...runs[which].map((run) => run.otherWork));
      say(
        `  ${which + 1} thread${which ? 's' : ' '}  ${showMs(time)}  ${(time.median / count).toFixed(0)} ms a frame; processor ${(processor.median / count).toFixed(0)} ms a frame; peak memory ${memory.toFixed(0)} MB; other work ${(100 * other).toFixed(0)} %`,
      );
    }
    const [one, two] = runs;
    const alone = spread(one.map((run) => run.wallMs)).median;
    say(
      `  two processes side by side, one thread and one such night each: ${((2 * alone) / spread(apart).median).toFixed(2)} x the work of one in the same time: what the machine's second core can give`,
    );
    const isVoid = [...one, ...two].some((run) => run.otherWork > mostOtherWork);
    const speedUp = alone / spread(two.map((r) => r.wallMs)).median;
    if (isVoid)
      verdicts.push(`void    ${sensor}: two threads over one: ${speedUp.toFixed(2)} x beside other work`);
    else verdict(`${sensor}: one thread over two, a night of ${count}`, speedUp, 1.8, 'at least');
    verdict(
      `${sensor}: peak memory of two threads`,
      Math.max(...two.map((r) => r.memoryMb)),
      memoryLimit,
      'at most',
      'MB',
    );
    if (process.argv.includes('--clean')) rmSync(folder, { recursive: true });
  }
}

/** A long night on two threads, start-up included, over one thread of SEP that reads frame after frame, by the clock. */
async function longNight(sepMs: ReadonlyMap<SensorName, number>): Promise<void> {
  const theirs = sepMs.get('26 Mpx');
  if (theirs === undefined) return;
  const count = quick ? 16 : 100;
  const folder = makeNight('26 Mpx', count);
  const { wallMs, otherWork } = await runNight(folder, 2);
  say(`\na night of ${count} frames of 26 Mpx on two threads: ${(wallMs / count).toFixed(0)} ms a frame`);
  const what = `26 Mpx: one thread of SEP over two threads, a night of ${count}`;
  if (otherWork > mostOtherWork) verdicts.push(`void    ${what}, beside other work`);
  else verdict(what, (theirs * count) / wallMs, 20, 'at least');
  if (process.argv.includes('--clean')) rmSync(folder, { recursive: true });
}

function startUp(): void {
  const help = spread(
    Array.from({ length: 9 }, () => {
      const from = performance.now();
      spawnSync(process.execPath, [command, '--help']);
      return performance.now() - from;
    }),
  );
  say(`\nstart-up: --help ${showMs(help)}`);
  verdict('start-up of --help', help.low, 150, 'at most', 'ms');
}

const sepMs = await singleFrames();
await nights();
await longNight(sepMs);
startUp();
say(`\n${verdicts.join('\n')}`);
