import type { JobCheck } from '../../../agent/plan/job-check.js';

/** What the carriage says of a job, after an hour of running. */
export type VerificationAnswer = JobCheck;
