/** A day with the minute after it, as every sentence here writes it. */
const DATE = /(\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2})?)/;

/** A sentence whose dates stay on one line: one broken at its hyphens is read wrongly. */
export function WholeDates({ text }: { readonly text: string }) {
  return (
    <>
      {text.split(DATE).map((part, index) =>
        // What is split with a group in brackets has what the group held at every odd place.
        index % 2 === 0 ? (
          part
        ) : (
          <span key={index} class="whole">
            {part}
          </span>
        ),
      )}
    </>
  );
}
