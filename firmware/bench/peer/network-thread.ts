/*
 * A thread that owns the real TCP sockets of a virtual bath, so that the bath's own thread can wait for the answer to
 * a connect as the board's interpreter does: blocked. Started by real-network.ts; it knows bytes, no MQTT.
 */
import net from 'node:net';
import { parentPort } from 'node:worker_threads';
import { ConnectAnswer, type FromNetworkThread, type ToNetworkThread } from './network-thread-messages.js';

const sockets = new Map<number, net.Socket>();
const port = parentPort;
if (port === null) throw new Error('network-thread runs as a worker of real-network, not by itself');

function tell(message: FromNetworkThread): void {
  port!.postMessage(message);
}

function connect(request: Extract<ToNetworkThread, { kind: 'connect' }>): void {
  const { id, answer, timeoutMilliseconds } = request;
  const socket = net.connect({ host: request.address, port: request.port });
  let isAnswered = false;
  const settle = (outcome: number): void => {
    if (isAnswered) return;
    isAnswered = true;
    clearTimeout(timer);
    Atomics.store(answer, 0, outcome);
    Atomics.notify(answer, 0);
  };
  const timer = setTimeout(() => {
    settle(ConnectAnswer.unanswered);
    socket.destroy();
  }, timeoutMilliseconds);
  socket.on('connect', () => {
    socket.setNoDelay(true);
    sockets.set(id, socket);
    settle(ConnectAnswer.connected);
  });
  socket.on('data', (bytes) => {
    tell({ kind: 'bytes', id, bytes: new Uint8Array(bytes) });
  });
  // What failed is told by the close that follows it.
  socket.on('error', () => {
    settle(ConnectAnswer.refused);
  });
  socket.on('close', () => {
    settle(ConnectAnswer.refused);
    if (sockets.delete(id)) tell({ kind: 'closed', id });
  });
}

port.on('message', (message: ToNetworkThread) => {
  if (message.kind === 'connect') connect(message);
  else if (message.kind === 'write') sockets.get(message.id)?.write(message.bytes);
  else sockets.get(message.id)?.end();
});
