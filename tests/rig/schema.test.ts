import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { frameColumns, migrations } from '../../src/rig/schema.js';
import { openStore } from '../../src/rig/store.js';

it('the table of frames has the listed columns', () => {
  const store = openStore(':memory:');
  const names = (store.db.pragma('table_info(frame)') as { name: string }[]).map((column) => column.name);
  expect(names).toEqual(['identity', 'nightId', 'recordedAt', ...Object.keys(frameColumns)]);
  store.close();
});

it('steps that were published stay as they are: add a new one instead of editing', () => {
  const published = migrations.map((step) =>
    createHash('sha256').update(step.replace(/\s+/g, ' ')).digest('hex').slice(0, 16),
  );
  expect(published).toEqual(['1281c338e0079853']);
});
