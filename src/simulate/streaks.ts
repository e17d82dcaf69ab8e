import { makeRandom } from './random.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';
import type { StarImage } from './star-image.js';

/** A planted straight trail, FITS pixel coordinates of its ends. */
export interface PlantedStreak {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly angleDeg: number;
  readonly electronsPerPx: number;
}

/** Where the trails of a frame run: through a random point near the middle, at the planted angle. */
export function planStreaks(scenario: Scenario, plan: FramePlan): readonly PlantedStreak[] {
  const { widthPx, heightPx } = scenario.camera;
  const random = makeRandom(scenario.seed, 'streak', plan.spacingMm ?? '', plan.number);
  const streaks: PlantedStreak[] = [];
  for (const { fault } of plan.faults) {
    if (fault.kind !== 'streak') continue;
    for (let n = 0; n < fault.count; n++) {
      const angle = ((fault.angleDeg + (n > 0 ? 4 * random.normal() : 0)) * Math.PI) / 180;
      const x = widthPx * (0.3 + 0.4 * random.uniform());
      const y = heightPx * (0.3 + 0.4 * random.uniform());
      const whole = Math.hypot(widthPx, heightPx);
      const before = fault.lengthFraction < 1 ? (fault.lengthFraction * whole) / 2 : whole;
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      streaks.push({
        x1: x - before * c,
        y1: y - before * s,
        x2: x + before * c,
        y2: y + before * s,
        angleDeg: ((((angle * 180) / Math.PI) % 180) + 180) % 180,
        electronsPerPx: fault.electronsPerPx,
      });
    }
  }
  return streaks;
}

/** Draw a trail as a row of close faint stars, one a pixel. */
export function drawStreak(
  image: Float32Array,
  widthPx: number,
  heightPx: number,
  streak: PlantedStreak,
  star: StarImage,
): void {
  const length = Math.hypot(streak.x2 - streak.x1, streak.y2 - streak.y1);
  const steps = Math.ceil(length);
  const reach = 3 * star.profile.fwhm + star.spreadPx + 3;
  for (let i = 0; i < steps; i++) {
    const x = streak.x1 + ((streak.x2 - streak.x1) * (i + 0.5)) / steps;
    const y = streak.y1 + ((streak.y2 - streak.y1) * (i + 0.5)) / steps;
    if (x < -reach || y < -reach || x > widthPx + reach || y > heightPx + reach) continue;
    star.draw(image, widthPx, heightPx, x, y, (streak.electronsPerPx * length) / steps, reach);
  }
}
