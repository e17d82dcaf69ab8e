/** Marks the file as a rig history (SQLite application id, the letters "SAry"). */
export const APPLICATION_ID = 0x53417279;

/** Numeric and text figures kept of a frame, with their SQLite type: the one list for the table, recording, export and import. */
export const frameColumns = {
  file: 'TEXT',
  fileBytes: 'INTEGER',
  dateObs: 'TEXT',
  object: 'TEXT',
  filter: 'TEXT',
  exposureSeconds: 'REAL',
  gain: 'REAL',
  binning: 'INTEGER',
  kept: 'INTEGER',
  reasons: 'TEXT',
  causes: 'TEXT',
  stars: 'INTEGER',
  fwhmPx: 'REAL',
  fwhmErrorPx: 'REAL',
  fwhmArcsec: 'REAL',
  hfdPx: 'REAL',
  elongation: 'REAL',
  trailAngleDeg: 'REAL',
  trailSkyAngleDeg: 'REAL',
  trailAxis: 'TEXT',
  level: 'REAL',
  noise: 'REAL',
  transparency: 'REAL',
  weight: 'REAL',
  airmass: 'REAL',
  temperatureC: 'REAL',
  focusTemperatureC: 'REAL',
  focuserPosition: 'REAL',
  focuserMicronPerStep: 'REAL',
  focusOffsetMicron: 'REAL',
  tiltDirectionDeg: 'REAL',
  tiltSpanPercent: 'REAL',
  curvaturePercent: 'REAL',
  radial: 'REAL',
  seeingArcsec: 'REAL',
  focusArcsec: 'REAL',
  tiltArcsec: 'REAL',
  curvatureArcsec: 'REAL',
  comaArcsec: 'REAL',
  trackingArcsec: 'REAL',
  arcsecPerPx: 'REAL',
  scaleSource: 'TEXT',
  focalLengthMm: 'REAL',
  electronsPerAdu: 'REAL',
  readNoiseElectrons: 'REAL',
  rotationDeg: 'REAL',
} as const;

const frameColumnList = Object.entries(frameColumns)
  .map(([name, type]) => `${name} ${type}`)
  .join(', ');

/**
 * The schema, one step a version, oldest first: the version of a file is the number of steps it has been through
 * (PRAGMA user_version). A step that was ever published is never edited; a change is a new step at the end.
 *
 * Rows that people change (names, merges, notes, assignments) carry the time of the change, and the latest wins when two
 * computers' histories are joined; everything else is found by its content.
 */
export const migrations: readonly string[] = [
  `
  CREATE TABLE rig (
    id TEXT PRIMARY KEY, name TEXT NOT NULL, mergedInto TEXT, changedAt TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE train (
    key TEXT PRIMARY KEY, rigId TEXT NOT NULL REFERENCES rig(id), camera TEXT, telescope TEXT, focalLengthMm REAL,
    pixelMicron REAL, rotationDeg REAL, changedAt TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE night (
    id TEXT PRIMARY KEY, date TEXT NOT NULL, trainKey TEXT NOT NULL REFERENCES train(key),
    assignedRigId TEXT REFERENCES rig(id), assignedAt TEXT NOT NULL,
    version TEXT NOT NULL, recordedAt TEXT NOT NULL, optics TEXT, opticsAt TEXT NOT NULL, causes TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE INDEX night_train ON night(trainKey);
  CREATE TABLE frame (
    identity TEXT PRIMARY KEY, nightId TEXT NOT NULL REFERENCES night(id), recordedAt TEXT NOT NULL, ${frameColumnList}
  ) WITHOUT ROWID;
  CREATE INDEX frame_night ON frame(nightId);
  CREATE TABLE figure (
    nightId TEXT NOT NULL REFERENCES night(id), filter TEXT NOT NULL, metric TEXT NOT NULL,
    value REAL NOT NULL, spread REAL, error REAL, frames INTEGER NOT NULL,
    PRIMARY KEY (nightId, filter, metric)
  ) WITHOUT ROWID;
  CREATE TABLE note (
    id TEXT PRIMARY KEY, rigId TEXT NOT NULL REFERENCES rig(id), date TEXT NOT NULL, text TEXT NOT NULL, spacingMm REAL,
    removed INTEGER NOT NULL DEFAULT 0, changedAt TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE sensitivity (
    rigId TEXT NOT NULL REFERENCES rig(id), measuredAt TEXT NOT NULL, micronPerMm REAL NOT NULL, error REAL,
    PRIMARY KEY (rigId, measuredAt)
  ) WITHOUT ROWID;
  `,
];
