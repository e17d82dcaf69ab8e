import { parentPort } from 'node:worker_threads';
import { assessFrame, type FrameJob, type FrameOutcome } from '../src/field/index.js';
import { serveJobs } from '../src/pool/index.js';

if (!parentPort) throw new Error('this file is the entry of a worker thread');
serveJobs<FrameJob, FrameOutcome>(parentPort, assessFrame);
