/*
 * How fast a frame and a night are assessed: `npm run bench`. Everything is compared in one run on one machine; contestants take
 * turns; medians with the spread (10th to 90th percentile). Frames are seeded and kept in the folder for temporary files.
 */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import {
  closeSync,
  copyFileSync,
  existsSync,
  fstatSync,
  mkdirSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  utimesSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { quantileSorted } from 'simple-statistics';
import { makeBigFrame, type SensorName } from './make-big-frame.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = (path: string): string => join(root, 'dist/src', path);
const command = built('cli/main.js');
const quick = process.argv.includes('--quick');
const rounds = quick ? 5 : 15;
const nightFrames = quick ? 12 : 40;

interface Spread {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}
function spread(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  return {
    median: quantileSorted(sorted, 0.5),
    low: quantileSorted(sorted, 0.1),
    high: quantileSorted(sorted, 0.9),
  };
}
const show = ({ median, low, high }: Spread): string =>
  `${median.toFixed(0).padStart(6)} ms  (${low.toFixed(0)} to ${high.toFixed(0)})`;
const say = (text: string): void => void process.stdout.write(`${text}\n`);

/** Read a file whole into a buffer that is used again and again: the floor under any reader. */
function plainRead(path: string, buffer: Uint8Array): void {
  const handle = openSync(path, 'r');
  const size = fstatSync(handle).size;
  for (let at = 0; at < size;) at += readSync(handle, buffer, at, size - at, at);
  closeSync(handle);
}

interface SepAnswer {
  readonly ms: number;
  readonly wallMs: number;
  readonly objects: number;
  readonly halfFluxRadius: number;
  readonly level: number;
  readonly noise: number;
}
/** The independent library, pinned to one core, started once. Null where it is not installed. */
function startSep(): { ask: (path: string) => Promise<SepAnswer>; stop: () => void } | null {
  const python = '/usr/bin/python3';
  if (!existsSync(python) || spawnSync(python, ['-c', 'import sep, astropy']).status !== 0) return null;
  const child: ChildProcess = spawn(
    'taskset',
    ['-c', '0', python, join(root, 'tests/bench/sep-contest.py')],
    {
      stdio: ['pipe', 'pipe', 'inherit'],
    },
  );
  const lines = createInterface({ input: child.stdout! })[Symbol.asyncIterator]();
  return {
    ask: async (path) => {
      child.stdin!.write(`${path}\n`);
      return JSON.parse((await lines.next()).value as string) as SepAnswer;
    },
    stop: () => void child.stdin!.end(),
  };
}

async function singleFrames(): Promise<void> {
  const { assessFrame, defaultFrameOptions } = await import(built('field/index.js'));
  const { chooseImage, openFits, readPlane } = await import(built('fits/index.js'));
  const { measureBackground, detectSources } = await import(built('image/index.js'));
  const { measureStars } = await import(built('stars/index.js'));
  const sep = startSep();
  if (sep === null) say('python3-sep is not installed: no comparison with it');
  for (const sensor of ['16 Mpx', '26 Mpx', '62 Mpx'] as SensorName[]) {
    const path = makeBigFrame(sensor, 3000, 1);
    const buffer = new Uint8Array(150_000_000);
    const times: Record<string, number[]> = {
      read: [],
      plane: [],
      background: [],
      detect: [],
      stars: [],
      whole: [],
      sep: [],
    };
    let ours: { stars: { detected: number; measured: number }; hfd: { px: number } } | null = null;
    let theirs: SepAnswer | null = null;
    const time = <T>(name: string, work: () => T): T => {
      const from = performance.now();
      const result = work();
      times[name].push(performance.now() - from);
      return result;
    };
    for (let i = 0; i < rounds + 3; i++) {
      time('read', () => plainRead(path, buffer));
      const fits = openFits(path);
      const plane = time('plane', () => readPlane(fits, chooseImage(fits)));
      const background = time('background', () => measureBackground(plane));
      time('detect', () => detectSources(plane, background));
      time('stars', () => measureStars(plane, background));
      fits.close();
      const from = performance.now();
      const outcome = await assessFrame({ path, file: path, options: defaultFrameOptions });
      times.whole.push(performance.now() - from);
      ours = outcome.frame;
      if (sep && (i < 8 || !quick)) {
        theirs = await sep.ask(path);
        times.sep.push(theirs.ms);
      }
    }
    // The first three rounds warm the compiler and the page cache.
    const result = Object.fromEntries(
      Object.entries(times).map(([name, all]) => [name, all.length > 3 ? spread(all.slice(3)) : null]),
    );
    say(
      `\n${sensor}, 16 bit, 3000 stars planted, one thread (${ours!.stars.detected} detected, ${ours!.stars.measured} measured)`,
    );
    for (const [name, label] of Object.entries({
      read: 'plain warm read into a reused buffer',
      plane: 'header and pixels',
      background: 'background map',
      detect: 'detection alone',
      stars: 'detection, moments, fits, half-flux',
      whole: 'complete assessment',
      sep: 'SEP: read, background, extract, half-flux, windowed positions',
    })) {
      if (result[name]) say(`  ${label.padEnd(64)}${show(result[name])}`);
    }
    say(`  complete assessment / plain read: ${(result.whole!.median / result.read!.median).toFixed(1)} x`);
    if (theirs) {
      say(`  SEP / complete assessment: ${(result.sep!.median / result.whole!.median).toFixed(1)} x`);
      say(
        `  half-flux radius: ours ${(ours!.hfd.px / 2).toFixed(3)} px, SEP ${theirs.halfFluxRadius.toFixed(3)} px within 6 a (no light beyond counted); SEP objects ${theirs.objects}`,
      );
    }
  }
  sep?.stop();
}

/** Highest resident memory of a process so far, MB (threads share it). */
function peakMemory(pid: number): number {
  try {
    return Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024;
  } catch {
    return 0;
  }
}

async function runNight(folder: string, threads: number): Promise<{ ms: number; memory: number }> {
  const from = performance.now();
  const child = spawn(
    process.execPath,
    [command, 'cull', folder, '--quiet', '--json', '--no-cache', '--threads', String(threads)],
    {
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  let memory = 0;
  const timer = setInterval(() => (memory = Math.max(memory, peakMemory(child.pid!))), 20);
  await new Promise((done) => child.on('exit', done));
  clearInterval(timer);
  return { ms: performance.now() - from, memory };
}

async function nights(): Promise<void> {
  for (const sensor of (quick ? ['26 Mpx'] : ['26 Mpx', '62 Mpx']) as SensorName[]) {
    const count = sensor === '62 Mpx' ? Math.ceil(nightFrames / 3) : nightFrames;
    const folder = join(tmpdir(), 'starassay-bench', `night-${sensor.replace(' ', '')}-${count}`);
    if (!existsSync(folder)) {
      mkdirSync(folder, { recursive: true });
      for (let i = 0; i < count; i++) {
        const copy = join(folder, `sub_${String(i).padStart(3, '0')}.fits`);
        copyFileSync(makeBigFrame(sensor, 3000, 1 + (i % 4)), copy);
        utimesSync(copy, i, i);
      }
    }
    const one: number[] = [];
    const two: number[] = [];
    let memoryOne = 0;
    let memoryTwo = 0;
    for (let round = 0; round < (quick ? 1 : 3); round++) {
      const a = await runNight(folder, 1);
      const b = await runNight(folder, 2);
      one.push(a.ms);
      two.push(b.ms);
      memoryOne = Math.max(memoryOne, a.memory);
      memoryTwo = Math.max(memoryTwo, b.memory);
    }
    const [s1, s2] = [spread(one), spread(two)];
    say(`\na night of ${count} frames of ${sensor} through the command, start-up included`);
    say(
      `  1 thread   ${show(s1)}  ${(s1.median / count).toFixed(0)} ms a frame, peak memory ${memoryOne.toFixed(0)} MB`,
    );
    say(
      `  2 threads  ${show(s2)}  ${(s2.median / count).toFixed(0)} ms a frame, peak memory ${memoryTwo.toFixed(0)} MB`,
    );
    say(`  1 thread / 2 threads: ${(s1.median / s2.median).toFixed(2)} x`);
    if (process.argv.includes('--clean')) rmSync(folder, { recursive: true });
  }
  const help = spread(
    Array.from({ length: 7 }, () => {
      const from = performance.now();
      spawnSync(process.execPath, [command, '--help']);
      return performance.now() - from;
    }),
  );
  say(`\nstart-up: --help ${show(help)}`);
}

await singleFrames();
await nights();
