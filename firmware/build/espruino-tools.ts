/*
 * The espruino tools as a library, loaded once and silently. Called by what writes to a board and by the last step of the build.
 * Of all that they can do only what is named here is used; they are never let near a port or the network.
 */
import { createRequire } from 'node:module';

export interface EspruinoTools {
  readonly Core: {
    readonly Utils: { getUploadFileCode(name: string, contents: string): string };
    readonly Env: { getBoardData(): { VERSION?: string } };
  };
  readonly Config: { PRETOKENISE: number };
  readonly Plugins: {
    readonly Pretokenise: { tokenise(code: string): string; untokenise(code: string): string };
  };
}

let tools: Promise<EspruinoTools> | undefined;

/** The tools; the first call loads them. */
export function espruinoTools(): Promise<EspruinoTools> {
  return (tools ??= loadedTools());
}

/** They put themselves into a global and tell of each of their files. */
function loadedTools(): Promise<EspruinoTools> {
  const { init } = createRequire(import.meta.url)('espruino') as { init(done: () => void): void };
  const { log, warn, error } = globalThis.console;
  const mute = (): void => undefined;
  Object.assign(globalThis.console, { log: mute, warn: mute, error: mute });
  return new Promise<EspruinoTools>((resolve) => {
    init(() => {
      resolve((globalThis as unknown as { Espruino: EspruinoTools }).Espruino);
    });
  }).finally(() => {
    Object.assign(globalThis.console, { log, warn, error });
  });
}
