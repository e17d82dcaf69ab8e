import type { CliContext } from './context.js';
import type { FramesProgress } from '../pool/index.js';

export interface ProgressReport {
  readonly update: (progress: FramesProgress) => void;
  readonly stop: () => void;
}

/**
 * Progress of a run on stderr: a bar with rate and time left on a terminal; nothing when stderr is piped or `--quiet`, so that logs
 * stay readable.
 */
export async function startProgress(context: CliContext): Promise<ProgressReport> {
  if (!context.interactive) return { update: () => undefined, stop: () => undefined };
  const { default: cliProgress } = await import('cli-progress');
  let started = 0;
  let running = false;
  const bar = new cliProgress.SingleBar({
    clearOnComplete: true,
    hideCursor: true,
    format: (_options, { progress, total, value }) => {
      const seconds = (performance.now() - started) / 1000;
      const rate = value > 0 ? value / seconds : 0;
      const left = rate > 0 ? `${Math.ceil((total - value) / rate)} s left` : '';
      const width = 24;
      const filled = Math.round(progress * width);
      return `measuring ${'='.repeat(filled)}${'.'.repeat(width - filled)} ${value}/${total}  ${rate.toFixed(1)} frames/s  ${left}`;
    },
  });
  return {
    update: ({ done, total }) => {
      if (!running) {
        started = performance.now();
        running = true;
        bar.start(total, 0);
      }
      bar.update(done);
    },
    stop: () => {
      if (running) bar.stop();
    },
  };
}
