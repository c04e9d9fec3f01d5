/*
 * Which screen stands on the page: the door, a bath, the settings; above each the word SIMULATED where it belongs, and the heading.
 */
import { useEffect } from 'preact/hooks';
import { bathAddress, forgetToken, route } from '../state/route.js';
import { door, isConnected, snapshot } from '../state/state.js';
import { BathScreen } from './bath.js';
import { BringUpScreen } from './bring-up.js';
import { DoorScreen } from './door.js';
import { LookSwitch } from './look-switch.js';
import { SettingsScreen } from './settings.js';
import { SimulatedStrip } from './simulated.js';

export function Page() {
  const now = door.value;
  if (now === 'asking') return <p class="waiting">Asking the dashboard…</p>;
  if (now === 'unreachable') {
    return (
      <main class="leaf door">
        <h1>No answer from the dashboard</h1>
        <p>Check that this device is in its network and that the dashboard runs. This page tries again by itself.</p>
      </main>
    );
  }
  if (now.state !== 'open') {
    return (
      <>
        {now.isSimulated && <SimulatedStrip />}
        <DoorScreen isFirstStart={now.state === 'first-start'} />
      </>
    );
  }
  return <Inside isSimulated={now.isSimulated} />;
}

function Inside(props: { isSimulated: boolean }) {
  useEffect(forgetToken, []);
  const known = snapshot.value;
  const here = route.value;
  const controllers = known?.controllers ?? [];
  const chosen =
    here.screen === 'bath'
      ? (controllers.find((c) => c.controllerId === here.controllerId) ?? controllers[0] ?? null)
      : null;
  const isSimulated =
    known === null ? props.isSimulated : chosen ? chosen.isSimulated : controllers.some((c) => c.isSimulated);
  return (
    <>
      {isSimulated && <SimulatedStrip />}
      <header class="heading">
        <a class="name" href="#">
          Bathkeeper
        </a>
        <nav aria-label="Baths and settings">
          {controllers.length > 1 &&
            controllers.map((c) => (
              <a
                key={c.controllerId}
                href={bathAddress(c.controllerId)}
                aria-current={c === chosen ? 'page' : undefined}
              >
                {c.bathName}
              </a>
            ))}
          {here.screen !== 'bath' && controllers.length === 1 && <a href="#">Bath</a>}
          <a href="#settings" aria-current={here.screen === 'settings' ? 'page' : undefined}>
            Settings
          </a>
          <LookSwitch />
        </nav>
      </header>
      {!isConnected.value && known !== null && (
        <p class="line-lost" role="alert">
          No connection to the dashboard. What stands here is old; the page tries again by itself.
        </p>
      )}
      {known === null ? (
        <p class="waiting">Waiting for the first word from the dashboard…</p>
      ) : here.screen === 'settings' ? (
        <SettingsScreen known={known} />
      ) : here.screen === 'bring-up' ? (
        <BringUpScreen
          controllerId={here.controllerId}
          controller={controllers.find((c) => c.controllerId === here.controllerId) ?? null}
        />
      ) : chosen === null ? (
        <main class="leaf">
          <h1>No controller is paired yet</h1>
          <p>
            Bring one up at the bath, then pair it: both begin under <a href="#settings">Settings</a>.
          </p>
        </main>
      ) : (
        <BathScreen key={chosen.controllerId} controller={chosen} known={known} />
      )}
    </>
  );
}
