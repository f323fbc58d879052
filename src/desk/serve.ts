import { serve } from '@hono/node-server';
import type { Shop } from '../bench/index.js';
import { DwellmarkError } from '../units/index.js';
import { deskApp } from './app.js';
import { type Desk, secret } from './desk.js';

export interface DeskOptions {
  /** Address to listen at; the loopback when absent, so that nobody outside this computer gets in. */
  readonly address?: string;
  /** 0: any that is free. */
  readonly port: number;
  readonly now?: () => Date;
}

export interface OpenDesk {
  /** Opens the desk in a browser of this computer; holds the token. */
  readonly url: string;
  close(): Promise<void>;
}

/**
 * Starts the desk of a shop.
 * @throws DwellmarkError (`refused`) when the port is taken or the address is none of this computer's.
 */
export function openDesk(
  shop: Shop,
  { address = '127.0.0.1', port, now = () => new Date() }: DeskOptions,
): Promise<OpenDesk> {
  const hosts = new Set<string>();
  const desk: Desk = { shop, token: secret(), session: secret(), hosts, now };
  return new Promise((resolve, reject) => {
    const server = serve({ fetch: deskApp(desk).fetch, hostname: address, port }, (info) => {
      const host = info.family === 'IPv6' ? `[${info.address}]` : info.address;
      hosts.add(`${host}:${info.port}`);
      if (host === '127.0.0.1' || host === '[::1]') hosts.add(`localhost:${info.port}`);
      resolve({
        url: `http://${host}:${info.port}/?token=${desk.token}`,
        close: () =>
          new Promise((closed) => {
            server.close(() => closed());
            if ('closeAllConnections' in server) server.closeAllConnections();
          }),
      });
    });
    server.on('error', (cause: NodeJS.ErrnoException) => {
      reject(
        cause.code === 'EADDRINUSE' || cause.code === 'EADDRNOTAVAIL' || cause.code === 'EACCES'
          ? new DwellmarkError('refused', `the desk can't listen at ${address}, port ${port}`, {
              advice: 'Choose another with --port, or leave --port out for any that is free.',
              cause,
            })
          : cause,
      );
    });
  });
}
