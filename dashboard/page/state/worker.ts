/*
 * Puts the service worker in its place, where the browser lets one: over HTTPS, or on this very computer. Called once by main.tsx.
 * Without it the page works as it always did; it cannot be called by Web Push then, and the room of calls says so.
 */
const LOOK_MS = 5_000;
let looked: Promise<void> = Promise.resolve();

export function startWorker(): void {
  if (!isSecureContext || !('serviceWorker' in navigator)) return;
  lookAtSubscription();
  navigator.serviceWorker.register('/service-worker.js').catch((fault: unknown) => {
    console.warn('The service worker could not be installed; Web Push will not work on this device.', fault);
  });
}

/** The worker compares this device's subscription with the one that the dashboard was told, and mends what differs. */
export function lookAtSubscription(): void {
  looked = navigator.serviceWorker.ready.then(
    ({ active }) =>
      new Promise((resolve) => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => {
          resolve();
        };
        active?.postMessage({ kind: 'look-at-subscription' }, [port2]);
      }),
  );
}

/** Until the worker has looked, or for as long as somebody waits for a page. */
export async function subscriptionLooked(): Promise<void> {
  await Promise.race([looked, new Promise((resolve) => setTimeout(resolve, LOOK_MS))]);
}
