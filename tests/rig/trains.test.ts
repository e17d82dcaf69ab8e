import { describe, expect, it } from 'vitest';
import { trainOfFrame } from '../../src/rig/train.js';
import { allTrains, findOrAddTrain, foundingRigId } from '../../src/rig/trains.js';
import { openStore } from '../../src/rig/store.js';
import { madeFrame } from './made-history.js';

describe('trains of the history', () => {
  it('finds a known train, adds a turned one to the same rig and other optics to a new rig', () => {
    const store = openStore(':memory:');
    const train = trainOfFrame(madeFrame());
    const first = findOrAddTrain(store, train);
    expect(findOrAddTrain(store, { ...train, rotationDeg: 93 }).train.key).toBe(first.train.key);
    const turned = findOrAddTrain(store, { ...train, rotationDeg: 30 });
    expect(turned.train.key).not.toBe(first.train.key);
    expect(turned.foundingRigId).toBe(first.foundingRigId);
    const other = findOrAddTrain(store, { ...train, focalLengthMm: 424 });
    expect(other.foundingRigId).not.toBe(first.foundingRigId);
    expect(allTrains(store)).toHaveLength(3);
    expect(foundingRigId(turned.train.key)).toBe(first.foundingRigId);
    store.close();
  });

  it('a night without a known angle gets a train of its own until one is known, and finds it again', () => {
    const store = openStore(':memory:');
    const train = trainOfFrame(madeFrame({ rotationDeg: null }));
    const first = findOrAddTrain(store, train);
    const known = findOrAddTrain(store, { ...train, rotationDeg: 91 });
    expect(known.train.key).not.toBe(first.train.key);
    expect(findOrAddTrain(store, train).train.key).toBe(known.train.key);
    store.close();
  });
});
