import { useEffect } from 'preact/hooks';
import { Announcer } from './parts/announcer.js';
import { Banner } from './parts/banner.js';
import { Footer } from './parts/footer.js';
import { Hatches } from './parts/hatches.js';
import { Header } from './parts/header.js';
import { NewerScreens } from './parts/newer-screens.js';
import { AlarmsJudgedScreen } from './screens/alarms-judged.js';
import { AlarmsScreen } from './screens/alarms.js';
import { BenchScreen } from './screens/bench.js';
import { FloorScreen } from './screens/floor.js';
import { PeopleScreen } from './screens/people.js';
import { SetUpScreen } from './screens/set-up.js';
import { SignInScreen } from './screens/sign-in.js';
import { TakeupScreen } from './screens/takeup.js';
import { WorkScreens } from './screens/work-screens.js';
import { sendKeptCards } from './state/cards.js';
import { WallScreen } from './screens/wall.js';
import { goLive } from './state/live.js';
import { newerScreens } from './state/newer-screens.js';
import { route } from './state/route.js';
import { begin, me, site, startProblem } from './state/session.js';

/** All screens: who is signed in sees the one that the address names. */
export function App() {
  if (me.value === null) return <SignInScreen />;
  if (me.value === undefined || site.value === undefined) return <Starting />;
  return <SignedIn />;
}

function Starting() {
  if (startProblem.value === undefined) return <p class="starting">Takeline is starting …</p>;
  return (
    <main class="starting">
      <p role="alert">{startProblem.value}</p>
      <button type="button" onClick={() => void begin()}>
        Try again
      </button>
    </main>
  );
}

function SignedIn() {
  useEffect(goLive, []);
  useEffect(sendKeptCards, []);
  if (route.value.screen === 'wall') return <OnTheWall pageMs={route.value.pageMs} />;
  return (
    <div class="shell">
      <a class="skip" href="#main" onClick={toMain}>
        To the content
      </a>
      <Header />
      <Banner />
      <NewerScreens />
      <main id="main" tabIndex={-1}>
        <Screen />
      </main>
      <Footer />
      <Hatches />
      <Announcer />
    </div>
  );
}

/** A wall has nothing to press, and nobody who would: what is wrong with the line is said there all the same, and newer screens are taken at once. */
function OnTheWall({ pageMs }: { readonly pageMs: number }) {
  useEffect(
    () =>
      newerScreens.subscribe((newer) => {
        if (newer) location.reload();
      }),
    [],
  );
  return (
    <div class="shell">
      <Banner />
      <main id="main" tabIndex={-1}>
        <WallScreen pageMs={pageMs} />
      </main>
      <Hatches />
      <Announcer />
    </div>
  );
}

/** The part after `#` names a screen, so the skip link moves the focus itself. */
function toMain(event: Event): void {
  event.preventDefault();
  document.getElementById('main')?.focus();
}

function Screen() {
  const { value } = route;
  switch (value.screen) {
    case 'floor':
      return <FloorScreen />;
    case 'takeup':
      return <TakeupScreen key={`${value.conveyor}/${value.takeup}`} conveyor={value.conveyor} takeup={value.takeup} />;
    case 'alarms':
      return <AlarmsScreen />;
    case 'bench':
      return <BenchScreen />;
    case 'alarms-judged':
      return <AlarmsJudgedScreen />;
    case 'set-up':
      return <SetUpScreen part={value.part} />;
    case 'wall':
      return null;
    case 'people':
      return <PeopleScreen />;
    case 'work':
    case 'service-log':
    case 'plan':
    case 'card':
    case 'report':
      return <WorkScreens route={value} />;
    case 'nowhere':
      return (
        <section class="page">
          <h1>There is no such screen</h1>
          <p>
            Go to the <a href="#/">floor</a> or the <a href="#/alarms">alarms</a>.
          </p>
        </section>
      );
  }
}
