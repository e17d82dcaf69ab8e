import { readFileSync } from 'node:fs';
import { quantileSorted } from 'simple-statistics';

/** Median of some times with their 10th and 90th percentile, ms. */
export interface Spread {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

export function spread(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  return {
    median: quantileSorted(sorted, 0.5),
    low: quantileSorted(sorted, 0.1),
    high: quantileSorted(sorted, 0.9),
  };
}

export const showMs = ({ median, low, high }: Spread): string =>
  `${median.toFixed(1).padStart(7)} ms  (${low.toFixed(1)} to ${high.toFixed(1)})`;

/** Processor time of this process with all its threads, ms. */
export function processorTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Processor time of a running process with all its threads so far, ms (Linux: clock ticks of 10 ms); 0 when it is gone. */
export function processorTimeOf(pid: number): number {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
    return 10 * (Number(fields[11]) + Number(fields[12]));
  } catch {
    return 0;
  }
}

/** Processor time that all programs of the machine have used since it started, ms. */
export function machineTime(): number {
  const [user, nice, system, , , irq, softirq] = readFileSync('/proc/stat', 'utf8')
    .split('\n')[0]!
    .trim()
    .split(/\s+/)
    .slice(1)
    .map(Number) as [number, number, number, number, number, number, number];
  return 10 * (user + nice + system + irq + softirq);
}

/** Highest resident memory of a process so far, MB (its threads share it); 0 when it is gone. */
export function peakMemoryMb(pid: number): number {
  try {
    return Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024;
  } catch {
    return 0;
  }
}
