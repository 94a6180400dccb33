/** Each reason why there is no forecast, as a person is told it. */
export const NO_FORECAST_SENTENCES = {
  'no-settled-values':
    'There is no settled value of the chain length yet: it needs the conveyor running, away from the stops and with the springs working.',
  'too-few-days': 'There are fewer than seven daily values: a forecast begins after a week of running.',
  'run-in': 'The chain is new and still running in, which it does faster than it wears afterwards: a forecast begins a week after that.',
  'change-unexplained':
    'The position stepped and no service entry says why: record what was done, or wait for a week of values after the step.',
  'not-running': 'The conveyor did not run over these days, so no wear per running hour can be told.',
  'interval-covers-zero': 'The wear is too small against the scatter of the days to be told from none: more days will tell.',
  'elongation-falling':
    'The chain seems to grow shorter, which wear does not do: check the position and temperature signals and the service entries.',
  'position-unknown': 'The settled position is not known.',
  'springs-unknown': 'The spring lengths are not known.',
  'elongation-unknown': 'The elongation of the chain is not known.',
  'beyond-horizon': 'At this wear it lies more than 20 years ahead.',
} as const;

/** Why there is no trend, or no date from it. */
export type NoForecastReason = keyof typeof NO_FORECAST_SENTENCES;
