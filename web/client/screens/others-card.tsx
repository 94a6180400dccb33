import { useState } from 'preact/hooks';
import { clearCard } from '../state/cards.js';

interface OthersCardProps {
  readonly number: string;
  /** Who wrote what waits here. */
  readonly by: string;
}

/** A card on which somebody else wrote what the server does not have yet: a tick is that person's word, and is sent in nobody else's name. */
export function OthersCard({ number, by }: OthersCardProps) {
  const [sure, setSure] = useState(false);
  return (
    <section class="others-card no-print" aria-labelledby="others-card">
      <h2 id="others-card">Not sent yet: what {by} wrote here</h2>
      <p>
        It is shown below and sent as soon as {by} signs in on this device. Until then, or until it is thrown away, nobody else writes on
        this card here.
      </p>
      {sure ? (
        <p>
          <button type="button" onClick={() => clearCard(number)}>
            Throw away what {by} wrote
          </button>
          <button type="button" onClick={() => setSure(false)}>
            Leave it
          </button>
        </p>
      ) : (
        <button type="button" onClick={() => setSure(true)}>
          Throw it away …
        </button>
      )}
    </section>
  );
}
