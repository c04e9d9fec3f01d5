/*
 * The `Wifi` module of one boot, for a bath that is asked to have one: joins the network some seconds after it was told to,
 * loses it when the network is lost, and does not come back by itself, as on ESP32. Without it the network simply stands.
 */
export const JOIN_SECONDS = 3;

type Listener = (details?: unknown) => void;

export interface WifiHost {
  /** False while no network is in the air. */
  isNetworkThere(): boolean;
  after(seconds: number, run: () => void): void;
  queue(event: () => void): void;
}

export class VirtualWifi {
  isJoined = false;
  #isJoining = false;
  #accessPointIsOpen = true;
  readonly #listeners = new Map<string, Listener[]>();

  constructor(readonly host: WifiHost) {}

  /** The board's own access point, open by default: true until the program closes it. */
  get accessPointIsOpen(): boolean {
    return this.#accessPointIsOpen;
  }

  /** The network went away. */
  lose(): void {
    if (!this.isJoined) return;
    this.isJoined = false;
    this.#emit('disconnected', { reason: 200 });
  }

  /** `require('Wifi')`; values as plain objects, without prototypes of their own. */
  module(): object {
    return {
      connect: (_ssid: string, _options: object, onDone?: (fault: string | null) => void) => {
        if (this.#isJoining || this.isJoined) return;
        this.#isJoining = true;
        this.host.after(JOIN_SECONDS, () => {
          this.#isJoining = false;
          this.isJoined = this.host.isNetworkThere();
          const fault = this.isJoined ? null : 'no AP found';
          if (typeof onDone === 'function') {
            this.host.queue(() => {
              onDone(fault);
            });
          }
          this.#emit(this.isJoined ? 'connected' : 'disconnected', {});
        });
      },
      disconnect: (onDone?: () => void) => {
        this.lose();
        if (typeof onDone === 'function') this.host.queue(onDone);
      },
      stopAP: () => {
        this.#accessPointIsOpen = false;
      },
      getStatus: () => ({
        station: this.isJoined ? 'connected' : this.#isJoining ? 'connecting' : 'off',
        ap: this.#accessPointIsOpen ? 'enabled' : 'disabled',
      }),
      getIP: () => ({ ip: this.isJoined ? '192.0.2.7' : '0.0.0.0', mac: '00:00:5e:00:53:01' }),
      setHostname: () => undefined,
      on: (event: string, listener: Listener) => {
        this.#listeners.set(event, [...(this.#listeners.get(event) ?? []), listener]);
      },
    };
  }

  #emit(event: string, details: object): void {
    for (const listener of this.#listeners.get(event) ?? []) {
      this.host.queue(() => {
        listener(details);
      });
    }
  }
}
