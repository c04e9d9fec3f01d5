/*
 * What the page knows: the door, the newest snapshot, how old it is, whether the line to the dashboard stands.
 * Read by every screen through signals; the only place that opens the stream or reads a clock.
 */
import { computed, signal } from '@preact/signals';
import type { ControllerView, Door, Snapshot } from '@bathkeeper/shared-core/messages';
import { type Freshness, freshness, readingAgeSeconds } from '../words/age.js';
import { askDoor } from './api.js';

export const door = signal<Door | 'asking' | 'unreachable'>('asking');
export const snapshot = signal<Snapshot | null>(null);
export const isConnected = signal(false);

/** Moves twice a second: everything that shows an age reads it. */
const beat = signal(performance.now());
const heardAt = signal(performance.now());

/** Seconds of this device since the newest snapshot came. */
export const secondsSinceSnapshot = computed(() => Math.max(0, (beat.value - heardAt.value) / 1000));

/** The dashboard's clock now. */
export const serverNowMs = computed(() => {
  const known = snapshot.value;
  return known === null ? Date.now() : known.nowMs + secondsSinceSnapshot.value * 1000 * known.clockSpeed;
});

export function ageOf(controller: ControllerView): { readonly seconds: number | null; readonly fresh: Freshness } {
  const known = snapshot.value;
  const takenAtMs = controller.live?.takenAtMs ?? null;
  const seconds =
    known === null ? null : readingAgeSeconds(takenAtMs, known.nowMs, known.clockSpeed, secondsSinceSnapshot.value);
  return { seconds, fresh: freshness(seconds, controller.isOnline) };
}

/** The dashboard sends every second: after this long without a word the line is dead, whatever the browser believes. */
const DEAD_AFTER_MS = 5_000;
const RETRY_MS = 2_000;

let stream: EventSource | undefined;
let openedAt = 0;

function takeState(event: MessageEvent<string>): void {
  snapshot.value = JSON.parse(event.data) as Snapshot;
  heardAt.value = beat.value = performance.now();
  isConnected.value = true;
}

function openStream(): void {
  stream?.close();
  openedAt = performance.now();
  stream = new EventSource('/api/stream');
  stream.addEventListener('state', takeState);
  stream.onerror = () => {
    isConnected.value = false;
    // Closed for good by the browser: the session may be over, or the dashboard is away.
    if (stream?.readyState === EventSource.CLOSED) void refreshDoor();
  };
}

function closeStream(): void {
  stream?.close();
  stream = undefined;
  isConnected.value = false;
}

/** Asks who is let in, and opens or closes the stream accordingly. */
export async function refreshDoor(): Promise<void> {
  const answer = await askDoor();
  if (!answer.ok) {
    if (snapshot.value === null) door.value = 'unreachable';
    return;
  }
  door.value = answer.value;
  if (answer.value.state === 'open') {
    if (stream === undefined || stream.readyState === EventSource.CLOSED) openStream();
  } else {
    closeStream();
    snapshot.value = null;
  }
}

/** Starts the page's only timer. */
export function startListening(): void {
  void refreshDoor();
  let lastTry = performance.now();
  setInterval(() => {
    const now = (beat.value = performance.now());
    const isOpen = typeof door.value === 'object' && door.value.state === 'open';
    const isDead = isOpen && now - Math.max(heardAt.value, openedAt) > DEAD_AFTER_MS;
    if (isDead) isConnected.value = false;
    if ((isDead || door.value === 'unreachable') && now - lastTry > RETRY_MS) {
      lastTry = now;
      closeStream();
      void refreshDoor();
    }
  }, 500);
}
