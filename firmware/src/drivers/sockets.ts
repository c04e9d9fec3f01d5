/*
 * TCP and datagrams by the interpreter's own modules, the same on every board. Called by the board files.
 */
import type { Connection, ConnectionEvents } from '../ports.js';

/** Dials an address; on a board whose network stands in the interpreter it blocks. Throws when refused. */
export function dial(address: string, port: number, events: ConnectionEvents): Connection {
  const socket = require('net').connect({ host: address, port: port }, events.opened);
  socket.on('data', events.received);
  socket.on('close', events.closed);
  // An error is always followed by close.
  return socket;
}

/** Hears datagrams on a port. */
export function hearDatagrams(port: number, heard: (text: string) => void): DatagramSocket {
  const socket = require('dgram').createSocket('udp4');
  return socket.bind(port, function (bound: DatagramSocket): void {
    bound.on('message', heard);
  });
}
