import type { AgentStatus, AnswerMessage, EventMessage } from '../contract/messages.js';
import { agentStatusTopic, alarmTopic, answerTopic, eventTopic, nowTopic, signalAlarmTopic } from '../contract/topics.js';
import { ALARM_KEYS } from '../flow/alarm-key.js';
import type { AlarmOutput, FindingOutput } from '../flow/output.js';
import type { ConveyorWay } from '../flow/way/conveyor-way.js';
import { alarmMessage, takeupNow } from '../flow/way/snapshot.js';
import type { BrokerLink } from '../io/broker-link.js';
import type { Pipeline } from '../pipeline.js';
import { conveyorSignals } from '../site/site.js';
import type { AlarmEvent } from '../store/history.js';
import { formatTime } from '../units/time.js';
import { PictureTerm } from './picture-term.js';

/** So many pictures take some ms. */
const TAKEUPS_AT_A_TIME = 40;

/** A picture goes out every tenth beat at most: a beat has so large a share of them, a little more than its tenth, … */
const SHARE_OF_A_BEAT = 1 / 8;
/** … or so many where there are few. */
const LEAST_OF_A_BEAT = 20;

/** Whose alarm it is: a take-up's, or a signal's that belongs to none. */
type AlarmPlace = Pick<AlarmOutput, 'takeup' | 'signal' | 'alarm'>;

/** Puts the pipeline's state on the live topics of contracts §5. */
export class Publisher {
  /** The last picture of each take-up, its time left out, so that one that stands still is not sent again and again. */
  private readonly sent = new Map<string, string>();
  private readonly terms: readonly PictureTerm[];
  private readonly mostOfABeat: number;
  /** Whose turn it is first at the next beat. */
  private turn = 0;

  constructor(
    private readonly site: string,
    private readonly agent: string,
    private readonly pipeline: Pipeline,
    private readonly link: BrokerLink,
  ) {
    this.terms = pipeline.ways.flatMap((way) => way.takeups.map(({ index }) => new PictureTerm(way, index)));
    this.mostOfABeat = Math.max(LEAST_OF_A_BEAT, Math.ceil(this.terms.length * SHARE_OF_A_BEAT));
  }

  /** Publishes every take-up's picture, changed or not: a broker may have forgotten them. */
  everyPicture(nowMs: number, wallMs: number): void {
    for (const term of this.terms) term.due = true;
    this.sent.clear();
    this.sendDue(this.terms.length, nowMs, wallMs);
  }

  /**
   * Publishes the pictures that have changed and may go out again. A reading is shown a beat after it came: by then the other side's is in,
   * which is read together with it, and the two are one picture. Where hundreds are due at once, as after a start, those that do not go out
   * at this beat go at the next, and from then on each has its own: a rush twice a second would hold every reading in it up.
   * @param wallMs - a clock that only rises
   */
  pictures(nowMs: number, wallMs: number): void {
    for (const term of this.terms) term.look(wallMs);
    this.sendDue(this.mostOfABeat, nowMs, wallMs);
  }

  /** Hundreds of take-ups would hold readings up: some at a time, and others have their turn in between. */
  private sendDue(most: number, nowMs: number, wallMs: number): void {
    if (!this.link.connected) return;
    const { terms } = this;
    let sent = 0;
    for (let looked = 0; looked < terms.length && sent < Math.min(most, TAKEUPS_AT_A_TIME); looked++) {
      const term = terms[this.turn] as PictureTerm;
      this.turn = (this.turn + 1) % terms.length;
      if (!term.due) continue;
      term.sent(this.pictureOf(term, nowMs), wallMs);
      sent++;
    }
    if (sent === TAKEUPS_AT_A_TIME && most > sent) {
      setImmediate(() => {
        this.sendDue(most - sent, nowMs, wallMs);
      });
    }
  }

  /** @returns whether it was another than the last */
  private pictureOf({ way, index }: PictureTerm, nowMs: number): boolean {
    const { time, ...now } = takeupNow(way, index, nowMs);
    const topic = nowTopic(this.site, way.conveyor.id, now.takeup);
    const picture = JSON.stringify(now);
    if (this.sent.get(topic) === picture) return false;
    this.sent.set(topic, picture);
    // The time is put in as text: a picture is written out once.
    this.link.publishPicture(topic, `${picture.slice(0, -1)},"time":"${time}"}`);
    return true;
  }

  /** Publishes transitions, each as an event and as the retained state of its alarm. */
  alarms(events: readonly AlarmEvent[]): void {
    for (const event of events) {
      const { kind, id, ...detail } = event;
      this.event({
        version: 1,
        id,
        time: formatTime(Math.round(event.timeMs)),
        conveyor: event.conveyor,
        ...(event.takeup === undefined ? {} : { takeup: event.takeup }),
        event: kind,
        detail,
      });
      const way = this.pipeline.ways.find(({ conveyor }) => conveyor.id === event.conveyor);
      if (way !== undefined) this.alarmState(way, event);
    }
  }

  private alarmState({ conveyor, alarms }: ConveyorWay, { takeup, signal, alarm }: AlarmPlace): void {
    // Both sides' sensors have one topic: it shows the one that matters most now.
    const record = alarms.foremost(takeup, alarm, takeup === undefined ? signal : undefined);
    if (record === undefined || record.changedMs === 0) return;
    const topic =
      takeup === undefined ? signalAlarmTopic(this.site, signal ?? '', alarm) : alarmTopic(this.site, conveyor.id, takeup, alarm);
    this.link.publish(topic, JSON.stringify(alarmMessage(record)), true);
  }

  /**
   * The retained state of every alarm that ever left normal: after a start, when the broker may have forgotten it, or may still
   * show an alarm whose end it was not told.
   */
  everyAlarm(): void {
    for (const way of this.pipeline.ways) {
      const places = [
        ...way.conveyor.takeups.map(({ id }) => ({ takeup: id })),
        ...conveyorSignals(way.conveyor).map(({ name }) => ({ signal: name })),
      ];
      for (const place of places) {
        for (const alarm of ALARM_KEYS) this.alarmState(way, { ...place, alarm });
      }
    }
  }

  findings(findings: readonly FindingOutput[]): void {
    for (const { kind, id, ...detail } of findings) {
      const time = formatTime(Math.round(detail.timeMs));
      this.event({ version: 1, id, time, conveyor: detail.conveyor, takeup: detail.takeup, event: kind, detail });
    }
  }

  private event(message: EventMessage): void {
    this.link.publish(eventTopic(this.site, message.conveyor, message.takeup), JSON.stringify(message), false);
  }

  status(nowMs: number, running: boolean, readings: number, rejected: Readonly<Record<string, number>>): void {
    const status: AgentStatus = {
      version: 1,
      agent: this.agent,
      site: this.site,
      running,
      time: formatTime(Math.round(nowMs)),
      readings,
      rejected,
    };
    this.link.publish(agentStatusTopic(this.site, this.agent), JSON.stringify(status), true);
  }

  /** @param detail - what was asked for, where it is more than a sentence */
  answer(request: string, ok: boolean, message: string, detail?: AnswerMessage['detail']): void {
    const answer: AnswerMessage = { request, ok, message, ...(detail === undefined ? {} : { detail }) };
    this.link.publish(answerTopic(this.site, request), JSON.stringify(answer), false);
  }
}
