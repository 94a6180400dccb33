import type { ComponentChildren } from 'preact';
import type { ForecastDate, TakeupNow } from '../../../agent/contract/messages.js';
import { showRange, showText, type DisplayKind } from '../../../agent/units/display.js';
import type { Place } from '../state/places.js';
import { units } from '../state/session.js';
import { numberOf } from '../logic/figure.js';
import { springInForce } from '../logic/spring-now.js';
import { olderReading } from '../logic/reading-age.js';
import { Age, FigureText } from '../parts/figure-text.js';

/** Every number of a take-up, each with its unit, its age or its range, in groups. */
export function TakeupFigures({ conveyor, takeup, now }: Place & { readonly now: TakeupNow }) {
  const { chain, trend } = now;
  const read = olderReading(now);
  return (
    <div class="figure-groups">
      <Group title="Travel">
        <Item name="To the outer stop" kind="travel" figure={now.remainingMm} note={<Age at={read} />} />
        <Item name="From the inner stop" kind="travel" figure={now.positionMm} note={<Age at={read} />} />
        <Item name="Left side, last reading" kind="travel" figure={now.left.readingMm} note={<Age at={now.left.positionAt} />} />
        <Item name="Right side, last reading" kind="travel" figure={now.right.readingMm} note={<Age at={now.right.positionAt} />} />
        <Item name="Skew, left less right" kind="travel" figure={now.skewMm} note={<Age at={read} />} />
        <Item name="Settled position today" kind="travel" figure={now.settledMm} />
        <Item name="Breathing" kind="travel" figure={now.breathingMm} />
        <Line name="To-and-fro in 24 h">
          {now.dayRangeMm === null ? <span class="unknown">unknown</span> : showRange('travel', ...now.dayRangeMm, units.value)}
        </Line>
      </Group>
      <Group title="Springs and tension">
        <Item name="Left spring" kind="travel" figure={now.left.springMm} note={<Age at={now.left.positionAt} />} />
        <Item name="Right spring" kind="travel" figure={now.right.springMm} note={<Age at={now.right.positionAt} />} />
        <Item name="Before the coils touch" kind="travel" figure={now.marginToSolidMm} note={solidNote(takeup, now)} />
        <Item name="Left spring force" kind="force" figure={now.left.forceN} />
        <Item name="Right spring force" kind="force" figure={now.right.forceN} />
        <Item name="Carriage force" kind="force" figure={now.carriageForceN} />
        <Item name="Strand tension" kind="force" figure={now.strandTensionN} note={tensionLimits(conveyor.chain)} />
      </Group>
      <Group title="Chain">
        <Item
          name="Elongation"
          kind="elongation"
          figure={chain.elongationPct}
          note={chain.provisional ? 'provisional: a change is not explained' : `limit ${conveyor.chain.wearLimitPct} %`}
        />
        <Item name="Wear of each joint" kind="wear" figure={chain.wearPerJointMm} />
        <Line name="Pitches in the circuit">{chain.pitches}</Line>
        <Line name="Pitches taken out">{chain.removedPitches}</Line>
        <Item name="Longer by heat" kind="travel" figure={chain.thermalMm} />
        <Item name="Longer by pull" kind="travel" figure={chain.elasticMm} />
      </Group>
      <Group title="Forecast">
        <Line name="Travel used up" note={range(trend.strokeOut)}>
          {dateOf(trend.strokeOut)}
        </Line>
        <Line name="Springs slack" note={range(trend.springSlack)}>
          {dateOf(trend.springSlack)}
        </Line>
        <Line name="Wear limit reached" note={range(trend.wearLimit)}>
          {dateOf(trend.wearLimit)}
        </Line>
        <Item name="Travel used" kind="travel-rate" figure={trend.travelMmPerDay ?? undefined} />
        <Line
          name="Elongation"
          note={
            trend.elongationPctPerDay === null
              ? undefined
              : showRange('elongation-rate', trend.elongationPctPerDay.low, trend.elongationPctPerDay.high, units.value)
          }
        >
          {trend.elongationPctPerDay === null ? (
            <span class="unknown">unknown</span>
          ) : (
            showText('elongation-rate', trend.elongationPctPerDay.value, units.value)
          )}
        </Line>
        {trend.why === undefined ? null : (
          <div class="figure-line told">
            <dt>Why no more</dt>
            <dd>{trend.why}</dd>
          </div>
        )}
      </Group>
    </div>
  );
}

function Group({ title, children }: { readonly title: string; readonly children: ComponentChildren }) {
  return (
    <section class="figure-group">
      <h2>{title}</h2>
      <dl>{children}</dl>
    </section>
  );
}

interface LineProps {
  readonly name: string;
  readonly note?: ComponentChildren;
  readonly children: ComponentChildren;
}

function Line({ name, note, children }: LineProps) {
  return (
    <div class="figure-line">
      <dt>{name}</dt>
      <dd>
        {children}
        {note === undefined ? null : <span class="note">{note}</span>}
      </dd>
    </div>
  );
}

interface ItemProps {
  readonly name: string;
  readonly kind: DisplayKind;
  readonly figure: TakeupNow['positionMm'] | undefined;
  readonly note?: ComponentChildren;
}

/** A number; how old it is or what it is held against is said only where there is one. */
function Item({ name, kind, figure, note }: ItemProps) {
  return (
    <Line name={name} {...(numberOf(figure) === undefined || note === undefined ? {} : { note })}>
      <FigureText kind={kind} figure={figure} />
    </Line>
  );
}

function dateOf(forecast: ForecastDate | null): ComponentChildren {
  return forecast === null ? <span class="unknown">no date</span> : forecast.date;
}

function range(forecast: ForecastDate | null): string | undefined {
  if (forecast === null || forecast.early === forecast.late) return undefined;
  return forecast.late === null ? `from ${forecast.early}` : `${forecast.early} to ${forecast.late}`;
}

/** Where the coils touch, of the springs in force: they may differ once one was replaced. */
function solidNote(takeup: Place['takeup'], now: TakeupNow): string {
  const [left, right] = [now.left, now.right].map((side) => showText('travel', springInForce(side, takeup.spring).solidMm, units.value));
  return left === right ? `solid at ${left}` : `solid at ${left} left, ${right} right`;
}

function tensionLimits({ minTensionN, maxTensionN }: Place['conveyor']['chain']): string | undefined {
  const [least, most] = [minTensionN, maxTensionN].map((limit) =>
    limit === undefined ? undefined : showText('force', limit, units.value),
  );
  if (least !== undefined && most !== undefined) return `${least} to ${most} asked`;
  if (least !== undefined) return `at least ${least} asked`;
  return most === undefined ? undefined : `at most ${most} asked`;
}
