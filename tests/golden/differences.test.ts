import { describe, expect, it } from 'vitest';
import { differences } from './differences.js';

describe('differences of two JSON values', () => {
  it('are none where they agree, numbers within the tolerance', () => {
    expect(differences({ a: [1, null, 'x'] }, { a: [1 + 1e-9, null, 'x'] }, 1e-6)).toEqual([]);
  });

  it('name the place, what stood there and what stands there now', () => {
    expect(differences({ a: { b: 1 } }, { a: { b: 2 } }, 1e-6)).toEqual(['a.b: 1 -> 2']);
    expect(differences({ a: [1] }, { a: [1, 2] }, 1e-6)).toEqual(['a.1: nothing -> 2']);
    expect(differences({ a: 'x' }, {}, 1e-6)).toEqual(['a: "x" -> nothing']);
    expect(differences({ a: null }, { a: 0 }, 1e-6)).toEqual(['a: null -> 0']);
    expect(differences([], {}, 1e-6)).toEqual([': [] -> {}']);
  });
});
