import { useState } from 'preact/hooks';
import { unitOf } from '../../../agent/units/display.js';
import { readWish, WISH_FIELDS, WISH_NAMES, type WishTyped } from '../logic/wish-query.js';
import { NumberField } from '../parts/number-field.js';
import { units } from '../state/session.js';

interface PlanWishProps {
  readonly typed: WishTyped;
  readonly hasCarriers: boolean;
  /** Nothing can be planned without what is measured by hand: it lies open from the start. */
  readonly needed: boolean;
  readonly onType: (typed: WishTyped) => void;
}

/** What is wished of the work, and what was measured by hand: the plan follows the typing. */
export function PlanWish({ typed, hasCarriers, needed, onType }: PlanWishProps) {
  // Not closed again under the hands of whoever has typed enough for a plan.
  const [open] = useState(needed);
  return (
    <details class="wish" open={open}>
      <summary>What the plan reckons with</summary>
      <div class="wish-fields">
        <Fields typed={typed} measured={false} onType={onType} />
        {hasCarriers ? (
          <label class="tick">
            <input
              type="checkbox"
              checked={typed.keepEveryCarrier}
              onChange={(event) => onType({ ...typed, keepEveryCarrier: event.currentTarget.checked })}
            />
            No carrier may come off
          </label>
        ) : null}
      </div>
      <h3>Measured by hand: goes before what the sensors say</h3>
      <div class="wish-fields">
        <Fields typed={typed} measured onType={onType} />
      </div>
    </details>
  );
}

function Fields({ typed, measured, onType }: Pick<PlanWishProps, 'typed' | 'onType'> & { readonly measured: boolean }) {
  const { faults } = readWish(typed, units.value);
  return (
    <>
      {WISH_NAMES.filter((name) => WISH_FIELDS[name].measured === measured).map((name) => {
        const { label, kind, usual } = WISH_FIELDS[name];
        return (
          <NumberField
            key={name}
            label={label}
            unit={kind === 'number' ? '%' : unitOf(kind, units.value)}
            hint={`left out: ${usual}`}
            typed={typed.typed[name] ?? ''}
            fault={faults[name]}
            onType={(value) => onType({ ...typed, typed: { ...typed.typed, [name]: value } })}
          />
        );
      })}
    </>
  );
}
