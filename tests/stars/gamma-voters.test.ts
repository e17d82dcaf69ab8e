import { describe, expect, it } from 'vitest';
import { gammaVoters, smallestRadius } from '../../src/stars/gamma-voters.js';
import { fitMoffat } from '../../src/stars/moffat-fit.js';
import { pixelNodes } from '../../src/stars/moffat-profile.js';
import { lookedAt } from '../scenes/looked-at.js';
import { seeingImage } from '../scenes/star-field.js';

const { setting, looks } = lookedAt(seeingImage(3), { count: 40, snr: [60, 800], electronsPerAdu: 2 });
const clean = [...looks.keys()].filter((k) => looks[k].flags === 0);
const nodes = pixelNodes(2);

describe('stars asked for their exponent', () => {
  it('begin at their moments, later where the last round left them', () => {
    const voters = gammaVoters(setting, looks, nodes);
    const [first] = clean;
    const { moments } = looks[first];
    expect(voters.startOf(first, 0.17)).toMatchObject({ x: moments!.x, y: moments!.y });
    const vote = voters.ask(first, 0.17, 0.5)!;
    expect(voters.startOf(first, 0.17)).toEqual({ x: vote.x, y: vote.y, shape: vote.shape });
    expect(voters.startOf(first, 0.27)!.shape.gamma).toBe(0.27);
  });

  it('tell the others how their fits lie to their moments', () => {
    const voters = gammaVoters(setting, looks, nodes);
    const others = clean.slice(10);
    const astray = (): number =>
      others.reduce((sum, k) => {
        const start = voters.startOf(k, 0.17)!;
        const fit = fitMoffat(voters.lay(k)!, start, voters.optionsOf(k, 0.5))!;
        return sum + Math.log(start.shape.a / fit.shape.a) / others.length;
      }, 0);
    const before = astray();
    for (const k of clean.slice(0, 10)) voters.ask(k, 0.17, 0.5);
    expect(Math.abs(astray())).toBeLessThan(0.3 * Math.abs(before));
  });

  it('give the same vote a second time, and the same pixels', () => {
    const voters = gammaVoters(setting, looks, nodes);
    const [first, second] = clean;
    const vote = voters.ask(first, 0.2, 0.5)!;
    const { count } = voters.lay(first)!;
    voters.ask(second, 0.2, 0.5);
    const again = voters.ask(first, 0.2, 0.5)!;
    expect(voters.lay(first)!.count).toBe(count);
    // What a second fit from the end of the first still moves.
    expect(Math.abs(again.gammaStep - vote.gammaStep)).toBeLessThan(0.01 * vote.gammaError);
  });

  it('have nothing to say without moments; circles on a mosaic are larger', () => {
    const voters = gammaVoters(setting, [{ ...looks[clean[0]], moments: null }], nodes);
    expect(voters.ask(0, 0.2, 0.5)).toBeNull();
    expect(voters.startOf(0, 0.2)).toBeNull();
    expect(voters.lay(0)).toBeNull();
    expect(smallestRadius(true)).toBeGreaterThan(smallestRadius(false));
  });
});
