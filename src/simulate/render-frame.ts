import { drawGalaxy, makeGalaxies } from './galaxies.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';
import { applyMosaic, exposeSensor } from './sensor.js';
import type { FilePixels, SensorDefects } from './sensor.js';
import { skyMap, throughputMap } from './sky.js';
import { placeOnFrame } from './star-catalogue.js';
import type { StarCatalogue } from './star-catalogue.js';
import type { StarImage } from './star-image.js';
import { drawStreak, planStreaks } from './streaks.js';

/** A star is drawn out to where its light falls under this part of the sky noise of a pixel. */
const NOISE_PART = 0.1;

/** Expected light of a frame, electrons per pixel, row-major: sky, stars and trails, before the sensor counts it. */
export function frameLight(
  scenario: Scenario,
  plan: FramePlan,
  catalogue: StarCatalogue,
  star: StarImage,
): Float32Array {
  const { widthPx, heightPx } = scenario.camera;
  const image = new Float32Array(widthPx * heightPx);
  const sky = skyMap(scenario, plan);
  for (let y = 1, k = 0; y <= heightPx; y++) {
    for (let x = 1; x <= widthPx; x++) image[k++] = sky(x, y);
  }
  const throughput = throughputMap(scenario, plan);
  const noise = Math.sqrt(Math.max(1, plan.skyElectrons) + scenario.camera.readNoiseElectrons ** 2);
  const reachFor = wingReach(star, NOISE_PART * noise);
  for (let n = 0; n < catalogue.count; n++) {
    const [x, y] = placeOnFrame(plan.pose, widthPx, heightPx, catalogue.x[n], catalogue.y[n]);
    if (x < -60 || y < -60 || x > widthPx + 60 || y > heightPx + 60) continue;
    const flux = catalogue.flux[n] * plan.exposureSeconds * throughput(x, y);
    star.draw(image, widthPx, heightPx, x, y, flux, reachFor(flux));
  }
  for (const galaxy of makeGalaxies(scenario)) {
    const electrons = galaxy.flux * plan.exposureSeconds * plan.transparency * plan.filter.throughput;
    drawGalaxy(image, widthPx, heightPx, plan.pose, galaxy, electrons, star);
  }
  for (const streak of planStreaks(scenario, plan)) drawStreak(image, widthPx, heightPx, streak, star);
  return image;
}

/** Pixel values of a frame as the camera would store them, ADU. */
export function renderFrame(
  scenario: Scenario,
  plan: FramePlan,
  catalogue: StarCatalogue,
  defects: SensorDefects,
  star: StarImage,
): FilePixels {
  const light = frameLight(scenario, plan, catalogue, star);
  applyMosaic(light, scenario);
  return exposeSensor(light, scenario, plan, defects);
}

/** Radius, for a star of given flux, beyond which its light stays under `level` per pixel. */
function wingReach(star: StarImage, level: number): (flux: number) => number {
  const table: number[] = [];
  for (let r = 1; r <= star.pixelStar.halfWidth; r++) table.push(star.profile.at(r));
  return (flux) => {
    let low = 0;
    let high = table.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (table[middle] * flux > level) low = middle + 1;
      else high = middle;
    }
    return Math.max(5, low + 2) + star.spreadPx;
  };
}
