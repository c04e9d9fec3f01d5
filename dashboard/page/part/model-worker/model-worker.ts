/* The worker that holds one model, so that the page never waits for it. Ending it is how reading is cancelled. */
import type { Asked, Told } from './asked.js';
import { ModelDesk } from './model-desk.js';

// A message to oneself comes after those that wait already, and unlike a timer after no further time.
const channel = new MessageChannel();
const waiting: (() => void)[] = [];
channel.port1.onmessage = () => waiting.shift()?.();
const pause = (): Promise<void> =>
  new Promise((resolve) => {
    waiting.push(resolve);
    channel.port2.postMessage(null);
  });

const desk = new ModelDesk((told: Told, handedOver: Transferable[] = []) => {
  postMessage(told, { transfer: handedOver });
}, pause);

addEventListener('message', (event: MessageEvent<Asked>) => {
  void desk.take(event.data);
});
