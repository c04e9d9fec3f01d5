/*
 * Puts the service worker in its place, where the browser lets one: over HTTPS, or on this very computer. Called once by main.tsx.
 * Without it the page works as it always did; it cannot be called by Web Push then, and the room of calls says so.
 */
export function startWorker(): void {
  if (!isSecureContext || !('serviceWorker' in navigator)) return;
  lookAtSubscription();
  navigator.serviceWorker.register('/service-worker.js').catch((fault: unknown) => {
    console.warn('The service worker could not be installed; Web Push will not work on this device.', fault);
  });
}

/** The worker compares this device's subscription with the one that the dashboard was told, and mends what differs. */
export function lookAtSubscription(): void {
  void navigator.serviceWorker.ready.then(({ active }) => active?.postMessage({ kind: 'look-at-subscription' }));
}
