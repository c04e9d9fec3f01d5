/*
 * A virtual bath in real time beside a real dashboard: first the hours that are already behind it, as fast as the
 * machine can and without the dashboard (its records wait in FRAM), then on in real time, or faster, over real TCP
 * and UDP on this machine. Run by main.ts.
 */
import dgram from 'node:dgram';
import type { SimulatedButton } from '@bathkeeper/shared-core/messages';
import type { BoardSettings } from './board-settings.js';
import { faultKinds, isFaultName, type ScheduledFault } from './faults.js';
import { UNANSWERED_SECONDS } from './interpreter/sockets.js';
import { startNight } from './night-start.js';
import type { BathNetwork } from './peer/bath-network.js';
import { RealNetwork } from './peer/real-network.js';
import { StandInDashboard } from './peer/stand-in-dashboard.js';
import { VirtualBath } from './virtual-bath.js';

const TICK_MILLISECONDS = 20;
/** After a pause of the whole machine the bath does not race to make up for more than this. */
const LARGEST_LAG_SECONDS = 2;
const LARGEST_DATAGRAM_BYTES = 512;

export interface DemonstrationOptions {
  readonly bundle: string;
  readonly settings: BoardSettings;
  readonly seed: number;
  /** How many times faster than real time it runs. */
  readonly speed: number;
  /** Seconds of the night that are over when it goes on in real time. 0: from the power-up on. */
  readonly prerollSeconds: number;
  /** Recipe of the night (see RecipeColumn). Without one nothing is started. */
  readonly recipeRow?: readonly number[];
  readonly faults: readonly ScheduledFault[];
  /** 0: any free one. */
  readonly signOfLifePort: number;
}

export class Demonstration {
  readonly bath: VirtualBath;
  readonly #options: DemonstrationOptions;
  readonly #network: { current: BathNetwork } = { current: { connect: () => 'refused' } };
  readonly #standIn: StandInDashboard;
  readonly #udp = dgram.createSocket('udp4');
  #real: RealNetwork | undefined;
  #timer: NodeJS.Timeout | undefined;

  constructor(options: DemonstrationOptions) {
    this.#options = options;
    this.#standIn = new StandInDashboard(options.settings);
    // Everything must still be in the controller when the dashboard comes.
    this.#standIn.acknowledges = false;
    this.bath = new VirtualBath({
      bundle: options.bundle,
      seed: options.seed,
      settings: options.settings,
      faults: options.faults,
      network: { connect: (address, port) => this.#network.current.connect(address, port) },
    });
  }

  /** Plays the hours before. A message when the night could not be started. */
  preroll(): string | undefined {
    const { recipeRow, prerollSeconds } = this.#options;
    if (recipeRow !== undefined) {
      this.#network.current = this.#standIn;
      const problem = startNight(this.bath, this.#standIn, recipeRow);
      if (problem !== undefined) return problem;
      // From here on the records wait in the controller.
      this.#standIn.dropConnection();
      this.#network.current = { connect: () => 'refused' };
    }
    if (prerollSeconds > this.bath.nightSeconds) this.bath.advance(prerollSeconds - this.bath.nightSeconds);
    return undefined;
  }

  /** Goes on in real time. Resolves with the UDP port on which it listens for the sign of life. */
  async run(): Promise<number> {
    const { speed, signOfLifePort } = this.#options;
    this.#real = new RealNetwork((UNANSWERED_SECONDS * 1000) / speed);
    this.#network.current = this.#real;
    this.#udp.on('message', (bytes) => {
      if (bytes.length <= LARGEST_DATAGRAM_BYTES) this.bath.deliverSignOfLife(bytes.toString('utf8'));
    });
    await new Promise<void>((bound, failed) => {
      this.#udp.once('error', failed);
      this.#udp.bind(signOfLifePort, '127.0.0.1', bound);
    });
    let lastMilliseconds = performance.now();
    this.#timer = setInterval(() => {
      const nowMilliseconds = performance.now();
      const passedSeconds = Math.min(LARGEST_LAG_SECONDS, (nowMilliseconds - lastMilliseconds) / 1000);
      lastMilliseconds = nowMilliseconds;
      this.bath.advance(passedSeconds * speed);
    }, TICK_MILLISECONDS);
    return this.#udp.address().port;
  }

  press(button: SimulatedButton): void {
    this.bath.press(button);
  }

  /** A message when there is no such fault of the bath. */
  injectFault(name: string, durationSeconds?: number): string | undefined {
    if (!isFaultName(name) || faultKinds[name].begin === undefined) return `"${name}" is not a fault of the bath.`;
    this.bath.injectFault(name, durationSeconds);
    return undefined;
  }

  async end(): Promise<void> {
    clearInterval(this.#timer);
    this.#udp.close();
    await this.#real?.end();
  }
}
