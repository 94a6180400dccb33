/** Stands wherever work is planned or written down. */
export function Cautions() {
  return (
    <p class="cautions">
      <b>Takeline is not a safety device and stops nothing.</b> Before anything is opened: lock out and tag out, then release and block the
      energy stored in springs and chain; the carriage can move without warning. Guards back before the start. Grinding and cutting need the
      site’s hot-work permit; mind work at height; two people where one can be caught. Follow the site’s own procedure, local codes and the
      conveyor maker’s instructions; a qualified person decides.
    </p>
  );
}
