import { describe, expect, it } from 'vitest';
import { ALARM_DEFINITIONS } from '../../../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../../../agent/flow/alarm/texts.js';
import { asideChoices, hasOwnSensors } from '../../../../web/client/logic/aside-choices.js';
import { siteAnswer } from '../../../../web/server/logic/site-answer.js';
import { pagedSite } from '../../../flow/page/desk.js';

const site = siteAnswer(pagedSite(), { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS });
const enamel = site.conveyors.find(({ id }) => id === 'enamel')!;
const [takeup] = enamel.takeups;

describe('what may be set aside at a take-up', () => {
  const choices = asideChoices(enamel, takeup, site.alarms);

  it('is every alarm of it, whether it stands or not, each sensor for itself', () => {
    expect(choices.map(({ words }) => words)).toEqual(
      expect.arrayContaining(['Travel nearly used up', 'Sensor silent: left position']) as unknown,
    );
    expect(choices.find(({ words }) => words === 'Sensor fault: right position')).toMatchObject({
      alarm: 'signal-fault',
      signal: `enamel/${takeup!.id}/right/position`,
    });
  });

  it('is not what tells that nobody watches or answers', () => {
    expect(choices.filter(({ alarm }) => alarm === 'agent-silent' || alarm === 'page-unanswered')).toEqual([]);
  });

  it('is no alarm that the site gives no limit to', () => {
    const without = { ...takeup!, setPoints: {} };
    expect(asideChoices(enamel, without, site.alarms).some(({ alarm }) => alarm.startsWith('tension-'))).toBe(false);
  });
});

describe('what may be set aside of a conveyor', () => {
  it('is the sensors that belong to no take-up', () => {
    expect(hasOwnSensors(enamel)).toBe(true);
    const choices = asideChoices(enamel, undefined, site.alarms);
    expect(new Set(choices.map(({ alarm }) => alarm))).toEqual(new Set(['signal-lost', 'signal-fault', 'signal-doubtful']));
    expect(choices.map(({ words }) => words)).toContain('Sensor silent: running');
  });
});
