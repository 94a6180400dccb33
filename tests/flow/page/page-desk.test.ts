import { describe, expect, it } from 'vitest';
import { undeliveredKey } from '../../../agent/flow/page/page-desk.js';
import { DeskWithClock, MINUTE_MS, pagedSite, START_MS } from './desk.js';

const desk = (...changes: readonly (readonly [from: string, to: string])[]): DeskWithClock => new DeskWithClock(pagedSite(...changes));

describe('the ladder', () => {
  it('pages who is on call at once for an urgent alarm, then the next, then everyone, and again, and then says that nobody took it', () => {
    const one = desk().rises('spring-solid').after(1);
    expect(one.told()).toEqual(['page marta spring-solid']);
    expect(one.after(298).told()).toEqual([]);
    expect(one.after(2).told()).toEqual(['page jonas spring-solid']);
    expect(one.after(600).told()).toEqual(['no-page already-paged marta', 'no-page already-paged jonas', 'page stores spring-solid']);
    expect(one.after(600).told()).toEqual(['page marta spring-solid', 'page jonas spring-solid', 'page stores spring-solid']);
    expect(
      one
        .after(36 * 60)
        .told()
        .at(-1),
    ).toBe('unanswered');
    expect(one.after(86_400).told()).toEqual([]);
    expect(one.isAcknowledged('spring-solid').told()).toEqual(['answered']);
  });

  it('stops when somebody acknowledges', () => {
    const one = desk().rises('spring-solid').after(60).isAcknowledged('spring-solid').after(86_400);
    expect(one.told()).toEqual(['page marta spring-solid']);
  });

  it('wakes nobody else for what went back to normal by itself, except for a jump, whose end says only that it stands still', () => {
    expect(desk().rises('spring-solid').after(60).clears('spring-solid').after(86_400).told()).toEqual(['page marta spring-solid']);
    const jump = desk()
      .rises('carriage-jump')
      .after(60)
      .clears('carriage-jump')
      .after(30 * 60);
    expect(jump.told()).toEqual(['page marta carriage-jump', 'page stores carriage-jump']);
  });

  it('pages who is on call when the step comes, not who was', () => {
    const one = desk();
    one.nowMs = Date.parse('2026-01-12T05:58:00Z');
    one.rises('spring-solid').after(1);
    expect(one.told()).toEqual(['page marta spring-solid']);
    // Handed over at 07:00 on the wall: the next on call is now Marta herself, who knows.
    expect(one.after(300).told()).toEqual(['no-page already-paged marta']);
  });

  it('takes every step that was missed while the machine was off, each person once, and gives them their time', () => {
    const one = desk().rises('spring-solid').after(1);
    one.told();
    one.nowMs += 3 * 3_600_000;
    one.restart();
    expect(one.after(0).told()).toEqual(['page jonas spring-solid', 'no-page already-paged marta', 'page stores spring-solid']);
    expect(one.after(44 * 60).told()).not.toContain('unanswered');
    expect(one.after(2 * 60).told()).toContain('unanswered');
  });

  it('does not wait the longer when the clock of the machine is set back', () => {
    const one = desk().rises('spring-solid').after(60);
    one.told();
    one.nowMs -= 6 * 3_600_000;
    one.desk.pass(one.nowMs);
    expect(one.after(300).told()).toEqual(['page jonas spring-solid']);
  });

  it('goes on at once where nothing reaches whom it paged, and says that nobody took it where nothing reaches anybody', () => {
    const one = desk().rises('spring-solid').after(1);
    const [page] = one.said();
    const call = page?.kind === 'page' ? page.call : '';
    one.desk.failed(call, 'marta');
    expect(one.after(1).told()).toEqual(['page jonas spring-solid']);
    one.desk.failed(call, 'jonas');
    expect(one.after(1).told()).toEqual(['no-page already-paged marta', 'no-page already-paged jonas', 'page stores spring-solid']);
    one.desk.failed(call, 'stores');
    expect(one.after(1).told()).toEqual(['unanswered']);
  });

  it('goes on at once where nobody is on call', () => {
    const one = desk(['first_week: 2026-01-05', 'first_week: 2027-01-04']).rises('spring-solid').after(1);
    expect(one.told()).toEqual([
      'no-page nobody-on-call',
      'no-page nobody-on-call',
      'page marta spring-solid',
      'page jonas spring-solid',
      'page stores spring-solid',
    ]);
  });

  it('does not send a second page after one that still waits in the outbox', () => {
    const one = desk().rises('stroke-end').after(31);
    const [page] = one.said();
    if (page?.kind !== 'page') throw new Error('nobody was paged');
    one.restart(
      pagedSite([
        'high: { steps: [{ after_min: 0, to: on-call }, { after_min: 30, to: stores }] }',
        'high: { steps: [{ after_min: 0, to: marta }], repeat_min: 5 }',
      ]),
    );
    one.undelivered.add(undeliveredKey(page.call, 'marta'));
    expect(one.after(300).told()).toEqual(['no-page earlier-page-on-its-way marta']);
    one.undelivered.clear();
    expect(one.after(300).told()).toEqual(['page marta stroke-end']);
  });
});

describe('alarms that belong together', () => {
  it('are one page when they rise within half a minute', () => {
    const one = desk().rises('stroke-end').after(10).rises('spring-near-solid').after(19).rises('stroke-low').after(5);
    expect(one.told()).toEqual(['page marta stroke-end+spring-near-solid+stroke-low']);
  });

  it('are two when they are further apart', () => {
    const one = desk().rises('stroke-end').after(31).rises('spring-near-solid').after(31);
    expect(one.told()).toEqual(['page marta stroke-end', 'page marta spring-near-solid']);
  });

  it('go with an urgent one at once, and what follows it on the conveyor is told with the next step', () => {
    const one = desk().rises('spring-near-solid').after(5).rises('spring-solid').after(1);
    expect(one.told()).toEqual(['page marta spring-solid+spring-near-solid']);
    expect(one.rises('stroke-end').after(60).told()).toEqual(['no-page joined']);
    expect(one.after(300).told()).toEqual(['page jonas spring-solid+stroke-end+spring-near-solid']);
  });

  it('are told of though the urgent one was taken care of before', () => {
    const one = desk().rises('spring-solid').after(1).rises('stroke-end').after(2).isAcknowledged('spring-solid').after(40);
    expect(one.told()).toEqual(['page marta spring-solid', 'no-page joined', 'page marta stroke-end']);
  });

  it('of another conveyor have a page of their own', () => {
    const one = desk().rises('spring-solid').after(1).rises('spring-solid', { conveyor: 'wash' }).after(1);
    expect(one.told()).toEqual(['page marta spring-solid', 'page marta spring-solid']);
  });

  it('are one page a person in a flood, whatever conveyors they are on', () => {
    const one = desk();
    for (let at = 0; at < 500; at++)
      one.rises(at % 7 === 0 ? 'spring-solid' : 'stroke-low', { conveyor: `c${String(at % 40)}`, takeup: `t${String(at)}` }).after(0.002);
    one.after(2);
    for (let at = 0; at < 20; at++) one.rises('stroke-low', { conveyor: `late${String(at)}` });
    one.after(120);
    const said = one.said();
    expect(said.filter(({ kind }) => kind === 'page')).toMatchObject([{ person: 'marta', alarms: { length: 500 } }]);
    expect(said.filter((output) => output.kind === 'no-page' && output.reason === 'joined')).toHaveLength(20);
  });
});

describe('no page goes out, and the desk says why', () => {
  it('where the priority has no ladder, or paging is not set up', () => {
    expect(desk(['    medium: { steps: [{ after_min: 0, to: stores }] }\n', '']).rises('stroke-low').after(60).told()).toEqual([
      'no-page no-ladder',
    ]);
    const bare = desk(
      ['webhook: { url: https://gateway.alder-point.example/pages, secret_file: secrets/webhook.txt }', 'link_hours: 1'],
      ['  link_hours: 24\n', ''],
      [
        '  smtp:\n    host: mail.alder-point.example\n    port: 587\n    security: starttls\n    user: takeline\n    password_file: secrets/smtp.txt\n    ca_file: secrets/mail-ca.pem\n    from: takeline@alder-point.example\n',
        '',
      ],
    );
    expect(bare.rises('spring-solid').after(7200).told()).toEqual(['no-page not-configured']);
  });

  it('where the alarm is shelved, suppressed, out of service, acknowledged or over before the page is due', () => {
    const ends = (
      change: 'shelved' | 'suppressed' | 'out-of-service' | 'acknowledged',
      to: Parameters<DeskWithClock['alarm']>[2],
    ): readonly string[] => desk().rises('stroke-end').after(10).alarm('stroke-end', change, to).after(86_400).told();
    expect(ends('shelved', 'shelved')).toEqual(['no-page shelved']);
    expect(ends('suppressed', 'suppressed-by-design')).toEqual(['no-page suppressed-by-design']);
    expect(ends('out-of-service', 'out-of-service')).toEqual(['no-page out-of-service']);
    expect(ends('acknowledged', 'acknowledged')).toEqual(['no-page acknowledged']);
    expect(desk().rises('stroke-end').after(10).clears('stroke-end').after(86_400).told()).toEqual(['no-page over-before-page']);
  });

  it('where an alarm rises on the shelf; off it, the page says since when', () => {
    const one = desk().alarm('stroke-end', 'raised', 'shelved').after(3600);
    expect(one.told()).toEqual(['no-page shelved']);
    expect(one.alarm('stroke-end', 'unshelved', 'unacknowledged').after(31).said()).toMatchObject([
      { kind: 'page', person: 'marta', alarms: [{ sinceMs: START_MS }] },
    ]);
  });

  it('where nothing that is set up reaches the person', () => {
    const one = desk(
      ['webhook: { url: https://gateway.alder-point.example/pages, secret_file: secrets/webhook.txt }', 'link_hours: 1'],
      ['  link_hours: 24\n', ''],
    );
    expect(one.rises('stroke-low').after(31).told()).toEqual(['no-page no-channel stores', 'unanswered']);
  });

  it('where the alarm says that a page was not answered', () => {
    expect(desk().rises('page-unanswered').after(60).told()).toEqual(['no-page about-a-page']);
  });

  it('each time that an alarm which nobody answers comes and goes; after ten minutes of quiet it is news', () => {
    const one = desk().rises('stroke-end').after(31);
    for (let times = 0; times < 5; times++) one.clears('stroke-end').after(20).rises('stroke-end').after(20);
    expect(one.told()).toEqual(['page marta stroke-end', ...Array.from({ length: 5 }, () => 'no-page already-paged')]);
    one
      .clears('stroke-end')
      .after(11 * 60)
      .rises('stroke-end')
      .after(31);
    expect(one.told()).toEqual(['page marta stroke-end']);
  });
});

describe('what the desk has said', () => {
  it('has an identity that is the same when it is worked out again', () => {
    const ids = (): readonly string[] =>
      desk()
        .rises('spring-solid')
        .after(20 * 60)
        .said()
        .flatMap((output) => (output.kind === 'page' ? [output.id] : []));
    expect(ids()).toEqual(ids());
    expect(new Set(ids()).size).toBe(ids().length);
  });

  it('tells what happens next', () => {
    expect(desk().rises('spring-solid').after(1).said()).toMatchObject([{ next: { atMs: START_MS + 5 * MINUTE_MS, to: 'next-on-call' } }]);
  });
});
