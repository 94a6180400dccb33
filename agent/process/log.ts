import type { Clock } from './clock.js';

/** Where a process says what a person should know. Not for readings: those have counters. */
export interface Log {
  info(sentence: string): void;
  warn(sentence: string): void;
  error(sentence: string): void;
}

/** A log of lines with time and weight, for a terminal or a service manager's journal. */
export function lineLog(clock: Clock, write: (line: string) => void): Log {
  const say =
    (weight: string) =>
    (sentence: string): void => {
      write(`${new Date(clock.nowMs()).toISOString()} ${weight} ${sentence}`);
    };
  return { info: say('info '), warn: say('warn '), error: say('error') };
}
