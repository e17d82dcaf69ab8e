// Apart from the folder's other names: a thread answers jobs and starts no threads of its own.
export { serveJobs } from '../serve-jobs.js';
