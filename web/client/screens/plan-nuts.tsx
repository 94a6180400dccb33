import { formatNumber, showText } from '../../../agent/units/display.js';
import type { GivenFigures } from '../../../agent/plan/takeup-state.js';
import type { NutAnswer, PlanAnswer } from '../../server/logic/plan-answers.js';
import type { CardJob } from '../../server/logic/card-answers.js';
import { may, units } from '../state/session.js';

const SIDES = ['left', 'right'] as const;

interface PlanNutsProps {
  readonly nuts: NonNullable<PlanAnswer['nuts']>;
  /** With which the springs are as they are now. */
  readonly figures: GivenFigures;
  /** Makes the job card of a setting; undefined while one is being made. */
  readonly onCard: ((job: CardJob) => void) | undefined;
}

/** The adjusting nuts alone, the chain left as it is: to the tension asked for, or so that both sides push alike. */
export function PlanNuts({ nuts, figures, onCard }: PlanNutsProps) {
  const tension = showText('force', nuts.toTension.plan.tensionAskedN, units.value);
  return (
    <section class="nuts">
      <h2>Adjusting nuts alone</h2>
      <p class="aside">
        The chain stays closed. As it wears the springs grow longer and slacken: a few turns give the tension back, and no travel is gained.
      </p>
      <div class="nut-settings">
        <Setting title={`To a strand tension of ${tension}`} answer={nuts.toTension} figures={figures} to="tension" onCard={onCard} />
        <Setting title="So that both sides push alike" answer={nuts.toBalance} figures={figures} to="balance" onCard={onCard} />
      </div>
    </section>
  );
}

interface SettingProps extends Omit<PlanNutsProps, 'nuts'> {
  readonly title: string;
  readonly answer: NutAnswer;
  readonly to: 'tension' | 'balance';
}

function Setting({ title, answer, figures, to, onCard }: SettingProps) {
  const { plan, words, problems, sentence } = answer;
  const mm = (value: number): string => showText('travel', value, units.value);
  const force = (value: number): string => showText('force', value, units.value);
  const turns = (value: number | undefined): string => (value === undefined ? 'not known' : formatNumber(value, 2));
  const now = { left: figures.springLeftMm, right: figures.springRightMm };
  return (
    <section class="nut-setting" aria-label={title}>
      <h3>{title}</h3>
      <table>
        <thead>
          <tr>
            <td />
            {SIDES.map((side) => (
              <th scope="col" key={side}>
                {side}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <Row name="Nut" of={(side) => words[side]} strong />
          <Row
            name="Exact turns, for both and for balance"
            of={(side) => `${turns(plan.sides[side].commonTurns)}, ${turns(plan.sides[side].balanceTurns)}`}
          />
          <Row name="Spring now" of={(side) => (now[side] === undefined ? 'as set in the site file' : mm(now[side]))} />
          <Row name="Spring afterwards" of={(side) => mm(plan.sides[side].springAfterMm)} />
          <Row name="Force afterwards" of={(side) => force(plan.sides[side].forceAfterN)} />
          <Row name="Before the coils touch" of={(side) => mm(plan.sides[side].marginToSolidMm)} />
        </tbody>
      </table>
      <p>{sentence}</p>
      {Math.abs(plan.roundingLeavesN) < 0.5 ? null : (
        <p class="aside">Quarter turns leave {force(plan.roundingLeavesN)} of what is asked.</p>
      )}
      {problems.map((problem) => (
        <p key={problem} class="problem">
          {problem}
        </p>
      ))}
      {may('record-work') ? (
        <button
          type="button"
          disabled={onCard === undefined}
          aria-label={`Make the job card: ${title}`}
          onClick={() => onCard?.({ kind: 'nuts', to })}
        >
          Make the job card
        </button>
      ) : null}
    </section>
  );
}

interface RowProps {
  readonly name: string;
  readonly of: (side: (typeof SIDES)[number]) => string;
  readonly strong?: boolean;
}

function Row({ name, of, strong = false }: RowProps) {
  return (
    <tr>
      <th scope="row">{name}</th>
      {SIDES.map((side) => (
        <td key={side}>{strong ? <b>{of(side)}</b> : of(side)}</td>
      ))}
    </tr>
  );
}
