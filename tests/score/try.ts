import { healthyPlants } from './healthy-plants.js';
import { chainWorkPlants } from './chain-work-plants.js';
import { mechanicalPlants } from './mechanical-plants.js';
import { signalPlants } from './signal-plants.js';
import { elongationError, falseAlarms, foundIn, naiveAlarms } from './judge.js';
import { runPlant } from './run-plant.js';

const wanted = process.argv.slice(2);
for (const plant of [...healthyPlants(), ...chainWorkPlants(), ...mechanicalPlants(), ...signalPlants()]) {
  if (wanted.length > 0 && !wanted.some((one) => plant.id.includes(one) || plant.kind === one)) continue;
  const begun = performance.now();
  const run = runPlant(plant);
  const error = elongationError(run);
  console.log(
    `${plant.id}  ${((performance.now() - begun) / 1000).toFixed(1)} s  ${(run.readings / 1e6).toFixed(2)} M  ε ${error.worst.toFixed(4)} (${error.worstDate}; ${error.days} days, ${error.withoutValue} without; naive ${error.naive.toFixed(4)})  naive alarms ${naiveAlarms(run)}`,
  );
  for (const found of foundIn(run)) {
    const hours = (ms: number): string => (ms / 3600_000).toFixed(2);
    console.log(
      `   ${found.inTime ? 'found ' : 'NOT IN TIME'} ${found.what}: ${found.key ?? '-'} after ${hours(found.delayMs)} h of ${hours(found.allowedMs)} ${found.pitches ? `pitches ${found.pitches.told} of ${found.pitches.asked}` : ''}`,
    );
  }
  for (const alarm of falseAlarms(run).slice(0, 12))
    console.log(`   FALSE ${new Date(alarm.timeMs).toISOString()} ${alarm.key} ${alarm.text}`);
  if (process.env['SHOW']) {
    for (const { first } of run.findings) console.log(`   . ${new Date(first.timeMs).toISOString()} ${first.finding} ${first.text}`);
    for (const a of run.alarms) console.log(`   ! ${new Date(a.timeMs).toISOString()} ${a.alarm} ${a.change} ${a.value}`);
  }
  const bad = run.seen.filter(({ day }) => day >= 60);
  let worst = 0;
  let note = '';
  let none = 0;
  for (const { day, trend, now } of bad) {
    if (now.strokeOutMs === null) continue;
    if (trend.strokeOut === null) {
      none++;
      continue;
    }
    const left = now.strokeOutMs - now.timeMs;
    const off = (Date.parse(`${trend.strokeOut.date}T12:00:00Z`) - now.strokeOutMs) / left;
    if (process.env.TREND)
      console.log(
        `     day ${day} pos ${now.positionMm.toFixed(1)} left ${(left / 86400000).toFixed(0)} off ${(100 * off).toFixed(1)} % slope ${trend.elongationPctPerDay?.value.toExponential(3)} [${trend.elongationPctPerDay?.low.toExponential(3)}, ${trend.elongationPctPerDay?.high.toExponential(3)}] true ${now.elongationPctPerDay.toExponential(3)} travel ${trend.travelMmPerDay?.toFixed(3)} true ${now.travelMmPerDay.toFixed(3)} br ${now.breathingMm.toFixed(2)}`,
      );
    if (Math.abs(off) > Math.abs(worst)) {
      worst = off;
      note = `day ${day}, left ${(left / 86400000).toFixed(0)} d`;
    }
  }
  if (bad.length > 0) console.log(`   stroke-out worst ${(100 * worst).toFixed(1)} % (${note}), none ${none} of ${bad.length}`);
}
