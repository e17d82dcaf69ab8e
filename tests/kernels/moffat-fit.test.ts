import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createPixelMemory } from '../../src/kernels/index.js';
import { pixelNodes } from '../../src/stars/moffat-profile.js';
import { layNodes } from '../../src/stars/placed-model.js';
import { levenbergMarquardt } from '../../src/stats/index.js';
import { seededRandom } from '../scenes/random.js';
import { plainFit, plainProfile, plainVote, type PlainStar } from './plain-moffat-fit.js';

interface Scene {
  readonly seed: number;
  readonly width: number;
  readonly elongation: number;
  readonly angle: number;
  readonly gamma: number;
  /** Exponent held in the fit, less the star's own. */
  readonly astray: number;
  readonly ratio: number;
  readonly order: number;
}

/** A noisy star of height 1000 as its pixels within 1.15 widths, and a start as its moments give it. */
function makeStar({ seed, width, elongation, angle, gamma, astray, ratio, order }: Scene): PlainStar {
  const random = seededRandom(seed);
  const nodes = pixelNodes(order);
  const [major, minor] = [width * Math.sqrt(elongation), width / Math.sqrt(elongation)].map(
    (w) => 4 / w ** 2,
  );
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const shape = [
    major * cos * cos + minor * sin * sin,
    (major - minor) * sin * cos,
    major * sin * sin + minor * cos * cos,
  ];
  const centre = Math.ceil(1.15 * width * Math.sqrt(elongation)) + 1;
  const [x, y] = [centre + random.uniform() - 0.5, centre + random.uniform() - 0.5];
  const truth = [1000, x, y, ...shape, gamma];
  const radius = Math.max(2.3, 1.15 * width * Math.sqrt(elongation));
  const columns: number[] = [];
  const rows: number[] = [];
  const values: number[] = [];
  for (let j = 0; j < 2 * centre + 1; j += 1) {
    for (let i = 0; i < 2 * centre + 1; i += 1) {
      if (Math.hypot(i - x, j - y) > radius) continue;
      columns.push(i);
      rows.push(j);
      values.push(Math.fround(1000 * (plainProfile(truth, nodes, i, j)[0] + random.normal() / ratio)));
    }
  }
  const place = [x + 0.3 * (random.uniform() - 0.5), y + 0.3 * (random.uniform() - 0.5)];
  const steepness = 0.8 + 0.4 * random.uniform();
  return {
    ...{ columns, rows, values, nodes },
    start: [...place, ...shape.map((v) => steepness * v), gamma + astray],
    ...{ variance: (1000 / ratio) ** 2, photonFactor: 0.7, levelVariance: 4 },
    ...{ mostSteps: 30, tolerance: 1e-5, rounding: 1e-12 },
  };
}

const memory = createPixelMemory();

/** The kernel's answer and its numbers. */
function onDesk(star: PlainStar, kernel: 'fitMoffat' | 'voteOnGamma') {
  const desk = memory.desk(star.values.length);
  [star.columns, star.rows, star.values].forEach((line, k) => desk.lines[k].set(Array.from(line)));
  const gamma = star.start[5];
  const head = [0, ...star.start, 2 ** gamma - 1, star.mostSteps, star.tolerance, star.rounding];
  desk.numbers.set([...head, star.variance, star.photonFactor, star.levelVariance]);
  const { pixels, stride, nodesAt, nodeCount, work } = layNodes(desk, star.nodes);
  const count = star.values.length;
  const status = desk.kernels[kernel](pixels, stride, count, nodesAt, nodeCount, work, desk.numbersAt);
  return { status, numbers: Array.from(desk.numbers.subarray(0, 25)) };
}

const scenes: readonly (readonly [string, Scene])[] = [
  [
    'ordinary',
    { seed: 1, width: 3, elongation: 1.1, angle: 0.5, gamma: 0.2, astray: 0, ratio: 50, order: 2 },
  ],
  [
    'narrow',
    { seed: 2, width: 1.6, elongation: 1, angle: 0, gamma: 0.17, astray: 0.05, ratio: 30, order: 4 },
  ],
  ['Gaussian', { seed: 3, width: 2.5, elongation: 1.2, angle: 2, gamma: 0, astray: 0, ratio: 80, order: 3 }],
  ['ending', { seed: 4, width: 6, elongation: 1.5, angle: 1, gamma: -0.3, astray: 0.1, ratio: 40, order: 1 }],
  ['faint', { seed: 5, width: 3, elongation: 1.3, angle: 3, gamma: 0.3, astray: 0, ratio: 5, order: 2 }],
  [
    'winged',
    { seed: 6, width: 4, elongation: 2, angle: 1.5, gamma: 0.6, astray: -0.2, ratio: 200, order: 2 },
  ],
];

describe('fit of one star', () => {
  // 32-bit floats over a hundred pixels: 1e-6 of the terms; in errors, what inverting the normal matrix makes of it.
  it.each(scenes)('takes the steps of plain arithmetic: %s', (_name, scene) => {
    const star = makeStar(scene);
    const { status, numbers } = onDesk(star, 'fitMoffat');
    const plain = plainFit(star)!;
    expect(status).toBe(plain.isAtRest ? 1 : 2);
    plain.solution.forEach((v, k) => {
      const error = k < 3 ? 1 / scene.ratio : 4 / scene.width ** 2 / scene.ratio;
      expect(Math.abs(numbers[k] - v)).toBeLessThan(k === 0 ? 1e-5 * v : 1e-3 * error);
    });
    const covariance = numbers.slice(14, 20);
    const scale = Math.max(...plain.covariance.map(Math.abs));
    plain.covariance.forEach((v, k) => expect(Math.abs(covariance[k] - v)).toBeLessThan(1e-3 * scale));
    expect(Math.abs(numbers[20] - plain.excessFactor)).toBeLessThan(
      1e-4 * (Math.abs(plain.excessFactor) + star.variance / 1000),
    );
    expect(Math.abs(numbers[21] / plain.cost - 1)).toBeLessThan(1e-4);
    expect(Math.abs(numbers[22] / plain.light - 1)).toBeLessThan(1e-5);
    expect(Math.abs(numbers[23] / plain.major - 1)).toBeLessThan(1e-5);
    expect(Math.abs(numbers[24] / plain.minor - 1)).toBeLessThan(1e-5);
  });

  it.each(scenes)('asks for gamma as plain arithmetic does: %s', (_name, scene) => {
    const star = makeStar(scene);
    const { status, numbers } = onDesk(star, 'voteOnGamma');
    const plain = plainVote(star)!;
    expect(status).toBe(plain.isAtRest ? 1 : 2);
    expect(Math.abs(numbers[14] - plain.gammaStep)).toBeLessThan(2e-3 * plain.gammaError);
    expect(Math.abs(numbers[15] / plain.gammaError - 1)).toBeLessThan(2e-3);
    expect(Math.abs(numbers[16] - plain.excessFactor)).toBeLessThan(
      1e-3 * (Math.abs(plain.excessFactor) + star.variance / 1000),
    );
    const scale = Math.max(...plain.slopes.map(Math.abs));
    plain.slopes.forEach((v, k) => expect(Math.abs(numbers[17 + k] - v)).toBeLessThan(1e-3 * scale));
  });

  it('ends at the minimum that the general least-squares method finds, whatever the star', () => {
    fc.assert(
      fc.property(
        fc.record({
          seed: fc.integer({ min: 1, max: 1e6 }),
          width: fc.double({ min: 2, max: 8, noNaN: true }),
          elongation: fc.double({ min: 1, max: 2, noNaN: true }),
          angle: fc.double({ min: 0, max: 3.14, noNaN: true }),
          gamma: fc.double({ min: -0.2, max: 0.5, noNaN: true }),
          astray: fc.double({ min: -0.1, max: 0.1, noNaN: true }),
          ratio: fc.double({ min: 10, max: 1000, noNaN: true }),
          order: fc.constantFrom(1, 2, 3),
        }),
        (scene) => {
          const star = makeStar(scene);
          const { status, numbers } = onDesk(star, 'fitMoffat');
          expect(status).toBe(1);
          const problem = (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
            if (!(p[3] > 0 && p[3] * p[5] > p[4] * p[4])) return Infinity;
            normal.fill(0);
            gradient.fill(0);
            let cost = 0;
            const at = [...p, star.start[5]];
            Array.from(star.values).forEach((value, k) => {
              const line = plainProfile(at, star.nodes, star.columns[k], star.rows[k]);
              const d = line.slice(0, 6).map((v, u) => (u === 0 ? v : v * p[0]));
              const r = value - p[0] * line[0];
              cost += r * r;
              for (let u = 0; u < 6; u += 1) {
                gradient[u] += d[u] * r;
                for (let v = 0; v <= u; v += 1) normal[6 * u + v] += d[u] * d[v];
              }
            });
            return cost;
          };
          const best = levenbergMarquardt(problem, [1000, ...star.start.slice(0, 5)], { maxIterations: 200 });
          const cost = problem(
            Float64Array.from(numbers.slice(0, 6)),
            new Float64Array(36),
            new Float64Array(6),
          );
          expect(cost / best.sumOfSquares - 1).toBeLessThan(1e-6);
        },
      ),
      { seed: 20, numRuns: 150 },
    );
  });

  it('says that there is no star where the light is below the sky or the start is no ellipse', () => {
    const star = makeStar(scenes[0][1]);
    expect(onDesk({ ...star, values: Array.from(star.values, (v) => -v) }, 'fitMoffat').status).toBe(0);
    const [x, y, a, , c, gamma] = star.start;
    expect(onDesk({ ...star, start: [x, y, a, 2 * Math.sqrt(a * c), c, gamma] }, 'fitMoffat').status).toBe(0);
  });
});
