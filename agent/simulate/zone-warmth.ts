import type { Conveyor } from '../site/site.js';
import type { Climate } from './climate.js';
import type { ZoneState } from './conveyor-state.js';
import { normal, streamOf } from './hash-noise.js';
import type { ConveyorScenario, ZoneScenario } from './scenario.js';
import type { ShiftPlan } from './shift-plan.js';
import { overheatC, type ZoneOverheats } from './trouble.js';
import { zoneAfter } from './zone-heat.js';

interface WarmZone {
  readonly lagS: number;
  readonly scenario: ZoneScenario;
  readonly overheats: readonly ZoneOverheats[];
  readonly stream: number;
}

/** The zones of one conveyor: heated for the shifts, cooling after them, overheating where a trouble says so. */
export class ZoneWarmth {
  private readonly zones: readonly WarmZone[];

  constructor(
    conveyor: Conveyor,
    scenario: ConveyorScenario,
    private readonly plan: ShiftPlan,
    private readonly climate: Climate,
    seed: number,
  ) {
    this.zones = conveyor.zones.map(({ id, lagS }) => {
      const zone = scenario.heat[id];
      if (zone === undefined) throw new Error(`the scenario says nothing of zone ${id} of ${conveyor.id}`);
      const overheats = scenario.troubles.filter(
        (trouble): trouble is ZoneOverheats => trouble.kind === 'zone-overheats' && trouble.zone === id,
      );
      return { lagS, scenario: zone, overheats, stream: streamOf(seed, `${conveyor.id} ${id} set-point`) };
    });
  }

  /** Zones as they are at a time when nothing has been going on but the shifts. */
  atRest(timeMs: number): ZoneState[] {
    return this.zones.map((zone) => {
      const airC = this.target(zone, timeMs);
      return { airC, chainC: airC, extraChainC: 0 };
    });
  }

  after(zones: readonly ZoneState[], fromMs: number, toMs: number): readonly ZoneState[] {
    const seconds = (toMs - fromMs) / 1000;
    return this.zones.map((zone, index) => {
      const { heatUpS, coolDownS } = zone.scenario;
      const state = zones[index] as ZoneState;
      const targetC = this.target(zone, fromMs);
      const { airC, chainC } = zoneAfter(state, targetC, seconds, targetC >= state.airC ? heatUpS : coolDownS, zone.lagS);
      const extraChainC =
        zone.overheats.length === 0 ? 0 : followed(state.extraChainC, extraOf(zone, fromMs), extraOf(zone, toMs), seconds, zone.lagS);
      return { airC, chainC, extraChainC };
    });
  }

  /** What overheating adds to the temperature of a zone as it is measured, °C. @param index - the zone's place in the site */
  extraC(index: number, timeMs: number): number {
    return extraOf(this.zones[index] as WarmZone, timeMs);
  }

  private target({ scenario, stream }: WarmZone, timeMs: number): number {
    const day = this.plan.dayOf(timeMs);
    if (!this.plan.heated(timeMs, 1000 * scenario.startBeforeS)) return this.climate.at(timeMs, day.startMs);
    return scenario.workC + scenario.spreadC * normal(stream, day.number);
  }
}

function extraOf({ overheats }: WarmZone, timeMs: number): number {
  let sum = 0;
  for (const trouble of overheats) sum += overheatC(trouble, timeMs);
  return sum;
}

/** A first-order lag behind something that goes in a straight line from `from` to `to`. */
function followed(value: number, from: number, to: number, seconds: number, lagS: number): number {
  if (lagS <= 0) return to;
  const behind = (lagS * (to - from)) / seconds;
  return to - behind + (value - from + behind) * Math.exp(-seconds / lagS);
}
