/** A value that stands where the site file says nothing, and why that value. */
export interface Default<T> {
  readonly value: T;
  readonly reason: string;
}

function standsFor<const T>(value: T, reason: string): Default<T> {
  return Object.freeze({ value, reason });
}

/**
 * Every default of the site file, in one table. Schema, resolver and documents read it here; a key that has no row
 * is either required or switches something on only when it is given.
 */
export const DEFAULTS = {
  units: standsFor('metric', 'the program computes in mm, N and °C, and shows what it computes'),
  wearAtReferencePct: standsFor(0, 'a chain counts as new at its reference'),
  expansionPerC: standsFor(1.17e-5, 'carbon steel'),
  trackExpansionPerC: standsFor(0, 'a track that stands outside the heat does not grow with the chain'),
  reversing: standsFor(false, 'most conveyors run one way'),
  lagS: standsFor(0, 'the chain is taken to have the temperature of the zone'),
  turnFriction: standsFor(0, 'without friction in the turn both strands carry half of what the carriage gives at 180°'),
  springsPerSide: standsFor(1, 'one spring on each rod is the plain arrangement'),
  shearModulusMpa: standsFor(81_500, 'cold-drawn spring wire (EN 10270-1)'),
  coiled: standsFor('cold', 'springs of up to 16 mm wire are commonly coiled cold'),
  load: standsFor('static', 'a take-up spring is set and then follows slow changes (EN 13906-1: quasi-static)'),
  straightRiseMm: standsFor(0, 'level'),
  curveRadiusMm: standsFor(0, 'without a radius the load on the curve itself is left out'),
  loadNPerM: standsFor(0, 'no load is invented: a stretch without one adds no tension'),
  segmentFriction: standsFor(0, 'no friction is invented: a stretch without one adds no tension'),
  lengthUnit: standsFor('mm', 'the unit that the program computes in'),
  temperatureUnit: standsFor('C', 'the unit that the program computes in'),
  speedUnit: standsFor('m/min', 'the unit that the program computes in'),
  runningUnit: standsFor('state', 'running is 1 or 0, true or false'),
  periodS: standsFor(1, 'a position sensor is commonly read once a second'),
  lostAfterPeriods: standsFor(10, 'single readings get lost on any network; ten in a row do not'),
  lostAfterLeastS: standsFor(30, 'a network that restarts takes some seconds, however fast the sensor'),
  stopAfterMin: standsFor(60, 'whoever has not answered within an hour will not by being asked again'),
  linkHours: standsFor(24, 'a page is answered in its shift or not at all'),
  groupS: standsFor(30, 'what one cause sets off comes within half a minute'),
  smtpPort: standsFor(587, 'mail is submitted there (RFC 6409)'),
  smtpSecurity: standsFor('starttls', "a page and its link are nobody else's business"),
} as const;
