/** The two pages of alarms: how things stand, and how the alarms themselves do. */
export function AlarmsHead({ page }: { readonly page: 'standing' | 'judged' }) {
  return (
    <div class="page-head">
      <h1>{page === 'standing' ? 'Alarms' : 'Alarms judged'}</h1>
      <nav class="sub-nav" aria-label="Alarm pages">
        <a href="#/alarms" aria-current={page === 'standing' ? 'page' : undefined}>
          Standing and recent
        </a>
        <a href="#/alarms/judged" aria-current={page === 'judged' ? 'page' : undefined}>
          Judged
        </a>
      </nav>
    </div>
  );
}
