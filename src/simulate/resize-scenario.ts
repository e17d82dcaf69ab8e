import type { Fault } from './scenario-faults.js';
import type { Scenario } from './scenario.js';

/**
 * The same scenario with another number of frames: what happens at a frame moves to the same part of the night.
 */
export function withFrameCount(scenario: Scenario, frames: number): Scenario {
  const factor = frames / scenario.frames;
  const moved = (frame: number): number =>
    Math.min(frames, Math.max(1, Math.round((frame - 0.5) * factor + 0.5)));
  const later = (frame: number): number => Math.max(2, moved(frame));
  const unique = (list: readonly number[]): number[] => [...new Set(list)];
  const { night, temperature, focus } = scenario;
  return {
    ...scenario,
    frames,
    faults: scenario.faults.map((fault): Fault => ({
      ...fault,
      frames: Array.isArray(fault.frames)
        ? unique(fault.frames.map(moved))
        : {
            from: moved(fault.frames.from),
            ...(fault.frames.to === undefined ? {} : { to: moved(fault.frames.to) }),
          },
    })),
    night: {
      ...night,
      flipBefore: night.flipBefore === null ? null : later(night.flipBefore),
      pauses: night.pauses.map((p) => ({ ...p, beforeFrame: later(p.beforeFrame) })),
    },
    temperature: {
      ...temperature,
      drops: temperature.drops.map((d) => ({ ...d, beforeFrame: later(d.beforeFrame) })),
    },
    focus: { ...focus, refocusBefore: unique(focus.refocusBefore.map(later)) },
  };
}

/** The same scenario on another frame size, with as many stars per area. */
export function withFrameSize(scenario: Scenario, widthPx: number, heightPx: number): Scenario {
  const area = (widthPx * heightPx) / (scenario.camera.widthPx * scenario.camera.heightPx);
  return {
    ...scenario,
    camera: { ...scenario.camera, widthPx, heightPx },
    stars: {
      ...scenario.stars,
      count: Math.round(scenario.stars.count * area),
      galaxies: Math.round(scenario.stars.galaxies * area),
    },
  };
}
