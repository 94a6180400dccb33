import type { BlankKey, CardLine, CardSection, JobCard, StepKey } from '../../../agent/plan/job-card.js';
import { CardBlank } from './card-blank.js';
import { FaultWords } from './entry-field.js';

/** A card as it is filled in: what stands in it, and what is to happen when somebody writes or ticks. */
export interface CardFilling {
  readonly text: (key: BlankKey) => string;
  readonly isTicked: (key: StepKey) => boolean;
  readonly faults: Readonly<Partial<Record<BlankKey | StepKey, string | undefined>>>;
  /** What somebody else wrote in the same blank, as it is read; undefined where nobody did. */
  readonly theirs: (key: BlankKey) => { readonly text: string; readonly by: string } | undefined;
  /** A card that is over can be read, not written on. */
  readonly locked: boolean;
  readonly onWrite: (key: BlankKey, text: string) => void;
  readonly onTick: (key: StepKey, done: boolean) => void;
  readonly onSettle: (key: BlankKey, whose: 'mine' | 'theirs') => void;
}

/** A card's sections in the order of the work, cautions first. */
export function CardSections({ card, filling }: { readonly card: JobCard; readonly filling: CardFilling }) {
  return (
    <div class="card-sections">
      {card.sections.map((section) => (
        <Section key={section.key} section={section} filling={filling} />
      ))}
    </div>
  );
}

function Section({ section: { key, heading, lines }, filling }: { readonly section: CardSection; readonly filling: CardFilling }) {
  const heads = `card-${key}`;
  return (
    <section class={`card-section card-${key}`} aria-labelledby={heads}>
      <h2 id={heads}>{heading}</h2>
      <div class="card-lines">
        {lines.map((line) => (
          <Line key={line.kind === 'fact' ? line.label : line.key} line={line} filling={filling} />
        ))}
      </div>
    </section>
  );
}

function Line({ line, filling }: { readonly line: CardLine; readonly filling: CardFilling }) {
  switch (line.kind) {
    case 'caution':
      return <p class="card-caution">{line.text}</p>;
    case 'fact':
      return (
        <p class="card-fact">
          <span>{line.label}</span> <b>{line.text}</b>
        </p>
      );
    case 'step':
      return (
        <label class="card-step">
          <input
            type="checkbox"
            name={line.key}
            checked={filling.isTicked(line.key)}
            disabled={filling.locked}
            onChange={(event) => filling.onTick(line.key, event.currentTarget.checked)}
          />
          <span>
            {line.text}
            <FaultWords id={`step-${line.key}-fault`} fault={filling.faults[line.key]} />
          </span>
        </label>
      );
    case 'blank':
      return (
        <CardBlank
          blank={line.key}
          label={line.label}
          form={line.form}
          unit={line.unit}
          value={filling.text(line.key)}
          fault={filling.faults[line.key]}
          theirs={filling.theirs(line.key)}
          locked={filling.locked}
          onWrite={(text) => filling.onWrite(line.key, text)}
          onSettle={(whose) => filling.onSettle(line.key, whose)}
        />
      );
  }
}
