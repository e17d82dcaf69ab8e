import type { OpticalState } from '../night/types.js';
import { frameIdentities } from './frame-identity.js';
import { frameRow } from './frame-row.js';
import { nightDates } from './night-date.js';
import type { RecordedOptics } from './night-figures.js';
import { refreshFigures } from './refresh-figures.js';
import { frameColumns } from './schema.js';
import type { RigStore } from './store.js';
import { findOrAddTrain } from './trains.js';
import { commonAngle, sameOptics, trainOfFrame } from './train.js';
import type { RecordableFrame, RecordableNight, Train } from './types.js';

/** What a recording did. */
export interface Recorded {
  readonly nights: readonly {
    readonly id: string;
    readonly date: string;
    readonly rigId: string;
    readonly frames: number;
  }[];
  readonly added: number;
  /** Frames that were known already: their figures are replaced. */
  readonly updated: number;
  /** Frames without a time, which no night can hold. */
  readonly undated: readonly string[];
}

interface OneNight {
  readonly train: Train;
  readonly date: string;
  readonly frames: { frame: RecordableFrame; identity: string }[];
}

/**
 * Store a night: its frames, joint fits, causes and figures, as one transaction.
 *
 * Frames known already are updated, wherever their files lie now; frames of several nights or rigs in one assessment go to
 * each its own night. Deterministic but for `now` (ISO 8601 UTC), the time noted beside what was written.
 * Throws StoreError when the store cannot be written; then nothing of the night is stored.
 */
export function recordNight(
  store: RigStore,
  night: RecordableNight,
  now = new Date().toISOString(),
): Recorded {
  return store.transact(() => {
    const undated: string[] = [];
    const parts = splitNights(night.frames, undated);
    const known = store.db.prepare('SELECT nightId FROM frame WHERE identity = ?').pluck();
    const write = frameWriter(store, now);
    const touched = new Set<string>();
    const nights: Recorded['nights'][number][] = [];
    let [added, updated] = [0, 0];
    for (const part of parts) {
      const { train, foundingRigId } = findOrAddTrain(store, part.train);
      const id = `${foundingRigId}/${part.date}`;
      saveNight(store, id, part, train.key, night, now);
      const offsets = focusOffsets(night.optics);
      for (const { frame, identity } of part.frames) {
        const previous = known.get(identity) as string | undefined;
        if (previous === undefined) added++;
        else {
          updated++;
          touched.add(previous);
        }
        write(identity, id, frame, offsets.get(frame.file) ?? null);
      }
      touched.add(id);
      nights.push({ id, date: part.date, rigId: foundingRigId, frames: part.frames.length });
    }
    refreshFigures(store, [...touched]);
    return { nights, added, updated, undated };
  });
}

/** Frames by night and optics, each night with the train most of its frames show. */
function splitNights(frames: readonly RecordableFrame[], undated: string[]): OneNight[] {
  const dates = nightDates(
    frames.map(({ header }) => ({ dateObs: header.dateObs, longitudeDeg: header.longitudeDeg })),
  );
  const identities = frameIdentities(frames);
  const parts: { trains: Train[]; date: string; frames: OneNight['frames'] }[] = [];
  frames.forEach((frame, i) => {
    const date = dates[i];
    if (date === null) {
      undated.push(frame.file);
      return;
    }
    const train = trainOfFrame(frame);
    let part = parts.find((p) => p.date === date && sameOptics(p.trains[0], train));
    if (!part) parts.push((part = { trains: [], date, frames: [] }));
    part.trains.push(train);
    part.frames.push({ frame, identity: identities[i] });
  });
  return parts.map(({ trains, date, frames: members }) => ({
    train: { ...trains[0], rotationDeg: commonAngle(trains) },
    date,
    frames: members,
  }));
}

function saveNight(
  store: RigStore,
  id: string,
  part: OneNight,
  trainKey: string,
  night: RecordableNight,
  now: string,
): void {
  const files = new Set(part.frames.map(({ frame }) => frame.file));
  const optics = opticsOf(night.optics, part);
  const causes = night.night.causes
    .filter((cause) => cause.answer === 'found' && cause.frames.some((file) => files.has(file)))
    .map(({ code, confidence, frames }) => ({
      code,
      confidence,
      frames: frames.filter((file) => files.has(file)).length,
    }));
  const old = store.db.prepare('SELECT optics FROM night WHERE id = ?').pluck().get(id) as
    string | null | undefined;
  // Part of a night measured again must not replace the fit of the whole night by a weaker one.
  const oldFrames = old ? (JSON.parse(old) as { frames: number }).frames : 0;
  const better = optics !== null && optics.frames >= 0.8 * oldFrames;
  store.db
    .prepare(
      `INSERT INTO night (id, date, trainKey, assignedAt, version, recordedAt, optics, opticsAt, causes)
       VALUES (@id, @date, @trainKey, '', @version, @now, @optics, @opticsAt, @causes)
       ON CONFLICT (id) DO UPDATE SET trainKey = @trainKey, version = @version, recordedAt = @now, causes = @causes,
         optics = CASE WHEN @better THEN @optics ELSE optics END, opticsAt = CASE WHEN @better THEN @now ELSE opticsAt END`,
    )
    .run({
      id,
      date: part.date,
      trainKey,
      now,
      version: night.version,
      optics: optics && JSON.stringify(optics),
      opticsAt: optics ? now : '',
      causes: JSON.stringify(causes),
      better: better ? 1 : 0,
    });
}

/** The joint fit that most of the night's frames took part in. */
function opticsOf(states: readonly OpticalState[], part: OneNight): RecordedOptics | null {
  const files = new Set(part.frames.map(({ frame }) => frame.file));
  const shares = states.map((state) => ({
    state,
    shared: state.focus.filter((focus) => files.has(focus.file)).length,
  }));
  const best = shares.sort((a, b) => b.shared - a.shared)[0];
  if (!best || best.shared === 0) return null;
  const { frames, explainedVariance, unit, tilt, curvature, astigmatism, coma, signsKnown } = best.state;
  const { widthPx, heightPx } = part.frames[0].frame.image;
  return {
    frames,
    explainedVariance,
    unit,
    tilt,
    curvature,
    astigmatism,
    coma,
    signsKnown,
    widthPx,
    heightPx,
  };
}

function focusOffsets(states: readonly OpticalState[]): Map<string, number> {
  return new Map(
    states
      .filter((state) => state.unit === 'micron')
      .flatMap((state) => state.focus.map(({ file, offset }) => [file, offset] as const)),
  );
}

function frameWriter(store: RigStore, now: string) {
  const names = Object.keys(frameColumns);
  const statement = store.db.prepare(
    `INSERT OR REPLACE INTO frame (identity, nightId, recordedAt, ${names.join(', ')})
     VALUES (@identity, @nightId, @recordedAt, ${names.map((name) => `@${name}`).join(', ')})`,
  );
  return (identity: string, nightId: string, frame: RecordableFrame, offset: number | null) =>
    statement.run({ identity, nightId, recordedAt: now, ...frameRow(frame, offset) });
}
