import type { JudgedFrame, WhatIfPoint } from './types.js';

/**
 * The what-if curve: what the stack would be with only the best 1, 2, ... frames kept, best by weight first.
 *
 * `fwhm` is the mean over the kept frames weighted by their light (arcseconds when every frame has a plate scale, else pixels). `depth`
 * is the signal to noise of a faint star in the plain mean of the kept frames, sum(T) / (sqrt(sum(noise^2)) x FWHM), relative to stacking every
 * frame: beyond 1 where the poor frames do harm. Groups are stacked apart, and their depths averaged by their number of frames.
 * Frames without weight are not on the curve; none at all gives an empty curve.
 */
export function whatIf(frames: readonly JudgedFrame[]): WhatIfPoint[] {
  const usable = frames.filter((frame) => frame.weight !== null);
  const inArcsec = usable.every((frame) => frame.fwhm.arcsec !== null);
  const groups = new Map<string, Stack>();
  for (const frame of usable) {
    const stack = groups.get(frame.group) ?? emptyStack();
    add(stack, frame);
    groups.set(frame.group, stack);
  }
  const full = new Map(
    [...groups].map(([name, stack]) => [name, { depth: depth(stack), frames: stack.frames }]),
  );
  const kept = new Map([...groups.keys()].map((name) => [name, emptyStack()]));

  let light = 0;
  let widthLight = 0;
  return [...usable]
    .sort((a, b) => b.weight! - a.weight!)
    .map((frame, i) => {
      add(kept.get(frame.group)!, frame);
      const frameLight = (frame.transparency ?? 1) * (frame.header.exposureSeconds || 1);
      light += frameLight;
      widthLight += frameLight * (inArcsec ? frame.fwhm.arcsec! : frame.fwhm.px!);
      let sum = 0;
      for (const [name, whole] of full) sum += (whole.frames * depth(kept.get(name)!)) / whole.depth;
      return { kept: i + 1, fwhm: widthLight / light, depth: sum / usable.length };
    });
}

/** Running sums of a stack in the making. */
interface Stack {
  frames: number;
  light: number;
  variance: number;
  widthLight: number;
}

function emptyStack(): Stack {
  return { frames: 0, light: 0, variance: 0, widthLight: 0 };
}

function add(stack: Stack, frame: JudgedFrame): void {
  const t = frame.transparency ?? 1;
  stack.frames++;
  stack.light += t;
  stack.variance += frame.background.noise! ** 2;
  stack.widthLight += t * frame.fwhm.px!;
}

function depth({ frames, light, variance, widthLight }: Stack): number {
  return frames === 0 ? 0 : light / (Math.sqrt(variance) * (widthLight / light));
}
