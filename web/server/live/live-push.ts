import type { Server as HttpServer, IncomingMessage } from 'node:http';
import { Server, type Socket } from 'socket.io';
import type { Clock } from '../../../agent/process/clock.js';
import { ChangesSince } from '../logic/changes-since.js';
import { Feed } from '../logic/feed.js';
import type { LiveEvents, ScreenEvents } from '../logic/live-messages.js';
import type { Changed, LivePicture } from '../logic/live-picture.js';
import { judgeOrigin, originOf } from '../logic/same-origin.js';
import type { SignedIn } from '../plugins/sessions.js';

/** At most twenty messages a second to a screen. */
const BATCH_MS = 50;
/** Readings come in a rush, and their pictures with them: what comes so soon after the first goes with it, rather than with the next batch. */
const GATHER_MS = 20;
/** A screen that has not taken a message for so long is cut off; it comes back by itself and starts from a whole picture. */
const GIVE_UP_MS = 15_000;
/** A cable that is pulled says nothing: without an answer for this long the connection is dead. */
const PING_MS = 5_000;
/** Screens send answers and nothing else. */
const LARGEST_MESSAGE_BYTES = 10_000;

type LiveServer = Server<ScreenEvents, LiveEvents, Record<string, never>, SignedIn>;
type LiveSocket = Socket<ScreenEvents, LiveEvents, Record<string, never>, SignedIn>;

export interface LivePushParts {
  readonly server: HttpServer;
  readonly picture: LivePicture;
  readonly whoIs: (cookieHeader: string) => SignedIn | undefined;
  readonly clock: Clock;
}

/** Pushes the picture to every signed-in screen. */
export class LivePush {
  private readonly io: LiveServer;
  private readonly changes = new ChangesSince();
  private readonly feeds = new Map<LiveSocket, Feed>();
  private readonly timer: NodeJS.Timeout;
  private gathering: NodeJS.Timeout | undefined;
  private sentMs = -Infinity;

  constructor(private readonly parts: LivePushParts) {
    this.io = new Server(parts.server, {
      path: '/live',
      serveClient: false,
      maxHttpBufferSize: LARGEST_MESSAGE_BYTES,
      pingInterval: PING_MS,
      pingTimeout: PING_MS,
      allowRequest: (request, decide) => decide(null, this.mayConnect(request)),
    });
    this.io.use((socket, next) => {
      const who = parts.whoIs(socket.request.headers.cookie ?? '');
      if (who === undefined) {
        next(new Error('not-signed-in'));
        return;
      }
      Object.assign(socket.data, who);
      next();
    });
    this.io.on('connection', (socket) => this.welcome(socket));
    this.timer = setInterval(() => this.gather(0), BATCH_MS);
  }

  note(changed: Changed): void {
    this.changes.note(changed);
    this.gather(GATHER_MS);
  }

  /** Sends soon, but no sooner after the last batch than may be. */
  private gather(leastMs: number): void {
    this.gathering ??= setTimeout(
      () => {
        this.gathering = undefined;
        this.sentMs = performance.now();
        this.sendAll();
      },
      Math.max(leastMs, this.sentMs + BATCH_MS - performance.now()),
    );
  }

  /** Tells every screen that findings or the log of a conveyor have changed; one that cannot take it now asks when it comes back. */
  tellWork(conveyor: string): void {
    for (const socket of this.feeds.keys()) socket.volatile.emit('work', { conveyor });
  }

  /** Ends the live connections of one session. */
  endSession(session: string): void {
    this.endWhere(({ data }) => data.session === session);
  }

  /** Ends the live connections of all of a person's sessions. */
  endPerson(name: string): void {
    this.endWhere(({ data }) => data.person.name === name);
  }

  stop(): void {
    clearInterval(this.timer);
    clearTimeout(this.gathering);
    this.io.local.disconnectSockets(true);
    this.io.engine.close();
  }

  private mayConnect(request: IncomingMessage): boolean {
    const fromElsewhere = judgeOrigin(originOf(request.headers)) === 'other-origin';
    return !fromElsewhere && this.parts.whoIs(request.headers.cookie ?? '') !== undefined;
  }

  private welcome(socket: LiveSocket): void {
    const atMs = this.parts.clock.nowMs();
    socket.emit('picture', this.parts.picture.whole(atMs));
    const feed = new Feed(this.changes.now(), atMs);
    this.feeds.set(socket, feed);
    socket.on('taken', () => feed.taken());
    socket.on('disconnect', () => this.feeds.delete(socket));
  }

  private sendAll(): void {
    const atMs = this.parts.clock.nowMs();
    const count = this.changes.now();
    const due = new Map<number, string[]>();
    for (const [socket, feed] of this.feeds) {
      const waiting = feed.waitingSinceMs();
      if (waiting !== undefined && atMs - waiting > GIVE_UP_MS) {
        // Closes the way below the session, which a screen takes for a broken line and mends.
        socket.conn.close();
        continue;
      }
      const from = feed.dueFrom(count, atMs);
      if (from === undefined) continue;
      due.set(from, [...(due.get(from) ?? []), socket.id]);
      feed.sent(count, atMs);
    }
    // Sent to several at once, a message is written out once for all of them.
    for (const [from, screens] of due) this.io.to(screens).emit('changes', this.changes.message(from, this.parts.picture, atMs));
  }

  private endWhere(is: (socket: LiveSocket) => boolean): void {
    for (const socket of this.feeds.keys()) if (is(socket)) socket.disconnect(true);
  }
}
