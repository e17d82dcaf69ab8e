import { parentPort } from 'node:worker_threads';
import { assessFrame } from '../src/field/frame/index.js';
import type { FrameJob, FrameOutcome } from '../src/field/index.js';
import { serveJobs } from '../src/pool/worker/index.js';

if (!parentPort) throw new Error('this file is the entry of a worker thread');
serveJobs<FrameJob, FrameOutcome>(parentPort, assessFrame);
