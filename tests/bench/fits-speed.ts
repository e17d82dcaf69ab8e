/*
 * Speed of reading a 26 Mpx 16-bit frame to physical values: `npx tsx tests/bench/fits-speed.ts [turns]`. Our reader, a plain read of the
 * same bytes, and funpack (where installed) take turns in one run; processor time (user and system) of each, medians of the turns, after one warm-up
 * turn. Fails when a frame costs more than 1.5 x a plain read, or Rice runs below 0.5 x the speed of funpack.
 */
import { spawnSync } from 'node:child_process';
import { closeSync, existsSync, fstatSync, openSync, readSync } from 'node:fs';
import { medianSorted } from 'simple-statistics';
import { chooseImage, openFits, readFrameHeader, readPlane } from '../../src/fits/index.js';
import type { PixelScratch } from '../../src/fits/index.js';
import { createPixelMemory } from '../../src/kernels/index.js';
import { makeBigFrame } from './make-big-frame.js';

const MAX_RATIO_TO_READ = 1.5;
const LEAST_SPEED_OF_FUNPACK = 0.5;

const turns = Number(process.argv[2] ?? 9);
const path = makeBigFrame('26 Mpx', 6000, 1);
const packed = `${path}.fz`;
if (!existsSync(packed)) spawnSync('fpack', ['-r', path]);

/** Processor time of this process, ms, spent in `run`. */
function ownTime(run: () => void): () => number {
  return () => {
    const start = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(start);
    return (user + system) / 1000;
  };
}

/** Processor time of a program and all it starts, ms, by the shell's own account. */
function programTime(command: string): () => number {
  return () => {
    const script = `TIMEFORMAT='%U %S'; time ${command} > /dev/null`;
    const { stderr } = spawnSync('bash', ['-c', script], { encoding: 'utf8' });
    const [user, system] = stderr.trim().split('\n').at(-1)!.split(' ').map(Number) as [number, number];
    return 1000 * (user + system);
  };
}

function plainRead(into?: Buffer): void {
  const descriptor = openSync(path, 'r');
  const bytes = into ?? Buffer.alloc(fstatSync(descriptor).size);
  readSync(descriptor, bytes, 0, bytes.length, 0);
  closeSync(descriptor);
}

function header(name: string): void {
  const file = openFits(name);
  readFrameHeader(file, chooseImage(file));
  file.close();
}

function plane(name: string, scratch?: PixelScratch): void {
  const file = openFits(name);
  readPlane(file, chooseImage(file), scratch ? { scratch } : {});
  file.close();
}

const scratch = createPixelMemory();
const packedScratch = createPixelMemory();
const names = {
  read: 'plain read of the bytes into new memory',
  frame: 'frame to physical values, new memory',
  readAgain: 'plain read into memory used before',
  frameAgain: 'frame to physical values, memory used before',
  header: 'header alone',
  rice: 'Rice to physical values',
  funpack: 'funpack to nowhere',
  funpackStart: 'start of funpack alone',
} as const;
const kept = Buffer.alloc(52_188_480);
const contestants = new Map<string, () => number>([
  [names.read, ownTime(() => plainRead())],
  [names.frame, ownTime(() => plane(path))],
  [names.readAgain, ownTime(() => plainRead(kept))],
  [names.frameAgain, ownTime(() => plane(path, scratch))],
  [names.header, ownTime(() => header(path))],
]);
if (existsSync(packed)) {
  contestants.set(
    names.rice,
    ownTime(() => plane(packed, packedScratch)),
  );
  contestants.set(names.funpack, programTime(`funpack -S ${packed}`));
  contestants.set(names.funpackStart, programTime('funpack -V'));
}

const times = new Map<string, number[]>([...contestants.keys()].map((name) => [name, []]));
for (let turn = -1; turn < turns; turn++) {
  // Turn about: whoever comes second would always pay for clearing away the first one's memory.
  const order = turn % 2 === 0 ? [...contestants] : [...contestants].reverse();
  for (const [name, run] of order) {
    const ms = run();
    if (turn >= 0) times.get(name)!.push(ms);
  }
}
const median = (name: string): number => medianSorted(times.get(name)!.sort((a, b) => a - b));
for (const [name, list] of times) {
  const middle = median(name).toFixed(1).padStart(8);
  console.log(`${name.padEnd(46)} ${middle} ms (${list[0]!.toFixed(1)} to ${list.at(-1)!.toFixed(1)})`);
}

function verdict(what: string, ratio: number, met: boolean, limit: string): void {
  console.log(`${what}: ${ratio.toFixed(2)} (${limit}): ${met ? 'met' : 'MISSED'}`);
  if (!met) process.exitCode = 1;
}
const limit = `at most ${MAX_RATIO_TO_READ}`;
for (const [what, ours, plain] of [
  ['frame against a plain read, both into new memory', names.frame, names.read],
  ['both into memory used before', names.frameAgain, names.readAgain],
  [
    'frame as a night reads it (memory used before) against a plain read into new memory',
    names.frameAgain,
    names.read,
  ],
] as const) {
  const ratio = median(ours) / median(plain);
  verdict(what, ratio, ratio <= MAX_RATIO_TO_READ, limit);
}
if (existsSync(packed)) {
  const speed = (median(names.funpack) - median(names.funpackStart)) / median(names.rice);
  verdict(
    'Rice, speed against funpack',
    speed,
    speed >= LEAST_SPEED_OF_FUNPACK,
    `at least ${LEAST_SPEED_OF_FUNPACK}`,
  );
} else {
  console.log('no fpack here: tile compression is not timed');
}
