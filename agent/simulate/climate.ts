import { streamOf, wander } from './hash-noise.js';
import type { ClimateScenario } from './scenario.js';

const DAY_MS = 86_400_000;
const HOUR_MS = 3600_000;
const YEAR_DAYS = 365.2425;
/** 29 July: the air is warmest about five weeks after the sun is highest. */
const WARMEST_DAY = 209;
const WARMEST_HOUR = 15;
/** Weather of the north stays for about so long. */
const WEATHER_DAYS = 2.5;

/** The air around a conveyor: a wave of the year, a wave of the day, and weather. */
export class Climate {
  private readonly stream: number;

  constructor(
    private readonly scenario: ClimateScenario,
    seed: number,
    conveyor: string,
  ) {
    this.stream = streamOf(seed, `${conveyor} weather`);
  }

  /** °C at a time. @param dayStartMs - when its local day began */
  at(timeMs: number, dayStartMs: number): number {
    const { meanC, seasonC, dayC, weatherC } = this.scenario;
    const days = timeMs / DAY_MS;
    const hour = (timeMs - dayStartMs) / HOUR_MS;
    return (
      meanC +
      seasonC * Math.cos((2 * Math.PI * (days - WARMEST_DAY)) / YEAR_DAYS) +
      dayC * Math.cos((2 * Math.PI * (hour - WARMEST_HOUR)) / 24) +
      weatherC * wander(this.stream, days / WEATHER_DAYS)
    );
  }
}
