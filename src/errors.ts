/** Codes of the errors a user can meet; stable, printed in JSON, and safe to match on. */
export type ErrorCode =
  | 'fits-format'
  | 'unreadable-file'
  | 'usage'
  | 'too-large'
  | 'not-measurable'
  | 'worker-lost'
  | 'cancelled'
  | 'store'
  | 'internal';

/** An error as plain data: what crosses a thread border or lands in a JSON document. */
export interface ErrorRecord {
  readonly code: ErrorCode;
  /** What is wrong, with the file's name. */
  readonly message: string;
  /** What the user can do about it. */
  readonly remedy: string;
  /** File concerned, when there is one. */
  readonly file: string | null;
}

/** Base of every error that is meant for a user: names the file, what is wrong, and what to do. */
export class StarassayError extends Error {
  readonly code: ErrorCode;
  readonly remedy: string;
  readonly file: string | null;

  constructor(code: ErrorCode, message: string, remedy: string, file: string | null = null) {
    super(message);
    this.name = new.target.name;
    this.code = code;
    this.remedy = remedy;
    this.file = file;
  }
}

/** A file that is not FITS, or that breaks the standard in a way that cannot be read around. */
export class FitsFormatError extends StarassayError {
  constructor(message: string, remedy: string, file: string | null = null, code: ErrorCode = 'fits-format') {
    super(code, message, remedy, file);
  }
}

/** A wrong option, argument or input document. */
export class UsageError extends StarassayError {
  constructor(message: string, remedy: string, file: string | null = null) {
    super('usage', message, remedy, file);
  }
}

/** Turn anything thrown into plain data that survives `postMessage` and JSON. */
export function toErrorRecord(error: unknown, file: string | null = null): ErrorRecord {
  if (error instanceof StarassayError) {
    return { code: error.code, message: error.message, remedy: error.remedy, file: error.file ?? file };
  }
  const message = error instanceof Error ? error.message : String(error);
  return {
    code: 'internal',
    message: `unexpected failure: ${message}`,
    remedy: 'Report this as a bug, with the file if you can share it; the other frames are not affected.',
    file,
  };
}

/** Rebuild an error from its plain data. */
export function fromErrorRecord(record: ErrorRecord): StarassayError {
  return new StarassayError(record.code, record.message, record.remedy, record.file);
}
