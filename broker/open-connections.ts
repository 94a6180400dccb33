import type { Socket } from 'node:net';

/** Beside the clients signed in, so many may be on their way in or out. */
const SPARE = 100;

/** The sockets of all listeners. */
export interface OpenConnections {
  /** Takes a socket in, or cuts it off where there are too many. */
  admit(socket: Socket): boolean;
  /** Cuts all off and waits until they are closed. */
  dropAll(): Promise<void>;
}

/**
 * @param maxClients - clients that may be signed in; a few more sockets are admitted, so that a client too many can be told why
 */
export function createOpenConnections(maxClients: number, log: (line: string) => void): OpenConnections {
  const open = new Set<Socket>();
  return {
    admit: (socket) => {
      if (open.size >= maxClients + SPARE) {
        log(`a connection from ${socket.remoteAddress ?? 'somewhere'} was cut off: ${open.size} are open`);
        socket.destroy();
        return false;
      }
      open.add(socket);
      socket.once('close', () => open.delete(socket));
      return true;
    },
    dropAll: async () => {
      await Promise.all(
        [...open].map(
          (socket) =>
            new Promise<void>((resolve) => {
              socket.once('close', () => resolve());
              socket.destroy();
            }),
        ),
      );
    },
  };
}
