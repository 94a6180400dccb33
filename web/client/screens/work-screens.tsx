import type { WorkRoute } from '../logic/work-route.js';
import { CardScreen } from './card.js';
import { PlanScreen } from './plan.js';
import { ReportScreen } from './report.js';
import { ServiceLogScreen } from './service-log-page.js';
import { WorkScreen } from './work.js';

/** The screens of the work, each with its own state for what it shows. */
export function WorkScreens({ route }: { readonly route: WorkRoute }) {
  switch (route.screen) {
    case 'plan':
      return <PlanScreen key={`${route.conveyor}/${route.takeup}`} conveyor={route.conveyor} takeup={route.takeup} />;
    case 'card':
      return <CardScreen key={route.card} number={route.card} />;
    case 'report':
      return <ReportScreen key={route.conveyor} conveyor={route.conveyor} />;
    case 'service-log':
      return <ServiceLogScreen />;
    case 'work':
      return <WorkScreen />;
  }
}
