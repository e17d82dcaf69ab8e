/** What `run` returns, and the processor time it takes, milliseconds: unlike the clock, other work on the machine hardly changes it. */
export function timed<T>(run: () => T): { readonly result: T; readonly processorMs: number } {
  const before = process.cpuUsage();
  const result = run();
  const { user, system } = process.cpuUsage(before);
  return { result, processorMs: (user + system) / 1000 };
}
