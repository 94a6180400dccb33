import { CAUTIONS } from '../../../agent/plan/cautions.js';

/** The cautions in full, as they stand on the job card. */
export function CautionList() {
  const [first, ...others] = CAUTIONS;
  return (
    <section class="cautions" aria-label="Cautions">
      <p>
        <b>{first?.text}</b>
      </p>
      <ul>
        {others.map(({ key, text }) => (
          <li key={key}>{text}</li>
        ))}
      </ul>
    </section>
  );
}
