// A process that records nights one after the other and says which are stored: `child.mjs DB FIRST-DATE COUNT SUBS [WAIT]`.
// With `read` instead of a date it prints what the history holds.
import { writeSync } from 'node:fs';
import { openStore, recordNight } from './src/rig/index.js';
import { parseNightDocument } from './src/rig/documents/index.js';

const [db, first, count, subs] = process.argv.slice(2);
try {
  if (first === 'read') {
    const store = openStore(db, { purpose: 'read' });
    writeSync(
      1,
      `${store.readonly ? 'readonly' : 'writable'} ${store.db.prepare('SELECT count(*) FROM frame').pluck().get()}\n`,
    );
    store.close();
  } else {
    const store = openStore(db);
    for (let i = 0; i < Number(count); i++) {
      const date = new Date(Date.parse(`${first}T00:00:00Z`) + i * 86_400_000).toISOString().slice(0, 10);
      recordNight(store, parseNightDocument(JSON.stringify(night(date, Number(subs))), date));
      // Straight to the pipe: what the parent has read was stored before.
      writeSync(1, `stored ${date}\n`);
    }
    store.close();
  }
} catch (error) {
  writeSync(1, `error ${error.code} ${error.message}\n`);
  process.exitCode = 3;
}

function night(date, frames) {
  return {
    schema: 'starassay/night@1',
    version: 'child',
    frames: Array.from({ length: frames }, (_, i) => ({
      file: `${date}-${i}.fits`,
      header: {
        camera: 'Heron 26M',
        telescope: 'Marsh 106',
        focalLengthMm: 530,
        exposureSeconds: 60,
        dateObs: new Date(Date.parse(`${date}T19:00:00Z`) + i * 61_000).toISOString(),
        longitudeDeg: 12,
      },
      elongation: 1.1,
      decision: 'keep',
    })),
  };
}
