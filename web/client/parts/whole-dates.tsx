/** A day with the minute after it, as every sentence here writes it, or an option that a command is given. */
const WHOLE = /(\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2})?|--[a-z-]+)/;

/** A sentence whose dates and options stay on one line: one broken at its hyphens is read, or copied, wrongly. */
export function WholeDates({ text }: { readonly text: string }) {
  return (
    <>
      {text.split(WHOLE).map((part, index) =>
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
