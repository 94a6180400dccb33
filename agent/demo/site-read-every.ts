import type { Conveyor, Signal, Site } from '../site/site.js';

const LOST_AFTER_PERIODS = 10;

/** The same site, its signals read no more often than so: what counts as silence follows. */
export function siteReadEvery(site: Site, periodS: number): Site {
  const slow = (signal: Signal): Signal =>
    signal.periodS >= periodS ? signal : { ...signal, periodS, lostAfterMs: LOST_AFTER_PERIODS * periodS * 1000 };
  return { ...site, conveyors: site.conveyors.map((conveyor) => slowConveyor(conveyor, slow)) };
}

function slowConveyor(conveyor: Conveyor, slow: (signal: Signal) => Signal): Conveyor {
  const { running, speed, ambient } = conveyor;
  return {
    ...conveyor,
    ...(running ? { running: slow(running) } : {}),
    ...(speed ? { speed: slow(speed) } : {}),
    ...(ambient ? { ambient: { ...ambient, temperature: slow(ambient.temperature) } } : {}),
    zones: conveyor.zones.map((zone) => ({ ...zone, temperature: slow(zone.temperature) })),
    takeups: conveyor.takeups.map((takeup) => {
      const { left, right } = takeup.sides;
      const sideOf = (side: typeof left): typeof left => ({
        ...side,
        position: slow(side.position),
        ...(side.spring ? { spring: slow(side.spring) } : {}),
      });
      return { ...takeup, sides: { left: sideOf(left), right: sideOf(right) } };
    }),
  };
}
