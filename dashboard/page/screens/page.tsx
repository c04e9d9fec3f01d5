/*
 * Which screen stands on the page: the door, a bath, the journal, the calls, the settings; above each the word SIMULATED where it belongs, and the heading.
 */
import { useEffect, useRef } from 'preact/hooks';
import type { ControllerView, Snapshot } from '@bathkeeper/shared-core/messages';
import { bathAddress, forgetToken, type Route, route } from '../state/route.js';
import { door, isConnected, snapshot } from '../state/state.js';
import { AlarmOfAddress } from '../alarms/of-address.js';
import { BathScreen } from './bath.js';
import { CallsScreen } from '../calls/room.js';
import { JournalScreen } from '../journal/room.js';
import { RecipeScreen } from '../recipe/screen.js';
import { LeaveAloneScreen } from '../leave-alone/room.js';
import { BringUpScreen } from './bring-up.js';
import { DoorScreen } from './door.js';
import { fetchedRoom } from './fetched-room.js';
import { LookSwitch } from './look-switch.js';
import { SettingsScreen } from './settings.js';
import { SimulatedStrip } from './simulated.js';
import { UnitsSwitch } from './units-switch.js';

const PartScreen = fetchedRoom(() => import('../part/room.js').then(({ PartRoom }) => PartRoom));
const JobSheetScreen = fetchedRoom(() => import('../plan/sheet.js').then(({ JobSheetScreen: sheet }) => sheet));
const SavedPlansScreen = fetchedRoom(() => import('../plan/saved-plans.js').then(({ SavedPlans }) => SavedPlans));
const RehearsalScreen = fetchedRoom(() => import('../rehearsal/room.js').then(({ RehearsalRoom }) => RehearsalRoom));
const LedgerScreen = fetchedRoom(() => import('../ledger/room.js').then(({ LedgerRoom }) => LedgerRoom));
const StockScreen = fetchedRoom(() => import('../ledger/stock-room.js').then(({ StockRoom }) => StockRoom));
const LogbookScreen = fetchedRoom(() => import('../logbook/room.js').then(({ LogbookRoom }) => LogbookRoom));
const RunScreen = fetchedRoom(() => import('../logbook/run.js').then(({ RunRoom }) => RunRoom));
const CompareScreen = fetchedRoom(() => import('../logbook/compare-room.js').then(({ CompareRoom }) => CompareRoom));
const ChartsScreen = fetchedRoom(() => import('../charts/room.js').then(({ ChartsRoom }) => ChartsRoom));
const KeepingScreen = fetchedRoom(() => import('../keeping/room.js').then(({ KeepingRoom }) => KeepingRoom));
const PlanScreen = fetchedRoom(() => import('../plan/room.js').then(({ PlanRoom }) => PlanRoom));

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
  const chosen = chosenBath(here, known);
  const spokenOf = here.screen === 'recipe' ? recipeBath(here.controllerId, controllers) : chosen;
  const isSimulated =
    known === null ? props.isSimulated : spokenOf ? spokenOf.isSimulated : controllers.some((c) => c.isSimulated);
  const rooms = useRef<HTMLElement>(null);
  useEffect(() => {
    const [line, open] = [rooms.current, rooms.current?.querySelector<HTMLElement>('[aria-current]')];
    if (line && open) showInLine(line, open);
  }, [here.screen, chosen?.controllerId]);
  return (
    <>
      {isSimulated && <SimulatedStrip />}
      <header class="heading">
        <a class="name" href="#">
          Bathkeeper
        </a>
        <nav
          ref={rooms}
          aria-label="Baths and settings"
          onFocusCapture={({ currentTarget, target }) => showFocusInLine(currentTarget, target as HTMLElement)}
        >
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
          {chosen === null && controllers.length === 1 && <a href="#">Bath</a>}
          {(['part', 'plan', 'logbook', 'ledger', 'journal', 'calls', 'settings'] as const).map((screen) => (
            <a key={screen} href={`#${screen}`} aria-current={here.screen === screen ? 'page' : undefined}>
              {screenName[screen]}
            </a>
          ))}
        </nav>
        <div class="head-switches">
          <UnitsSwitch />
          <LookSwitch />
        </div>
      </header>
      {!isConnected.value && known !== null && (
        <p class="line-lost" role="alert">
          No connection to the dashboard. What stands here is old; the page tries again by itself.
        </p>
      )}
      {known === null ? (
        <p class="waiting">Waiting for the first word from the dashboard…</p>
      ) : (
        <Screen here={here} known={known} chosen={chosen} />
      )}
    </>
  );
}

/** On a phone the line of rooms is longer than the screen: what is open or has the focus stands in its middle. Only the line moves, not the page. */
function showInLine(line: HTMLElement, link: HTMLElement): void {
  line.scrollLeft = link.offsetLeft - line.offsetLeft - (line.clientWidth - link.offsetWidth) / 2;
}

/** For the keyboard alone: a line that moves between press and release of a pointer takes the link away from under it. */
function showFocusInLine(line: HTMLElement, link: HTMLElement): void {
  if (link.matches(':focus-visible')) showInLine(line, link);
}

const screenName = {
  part: 'Part',
  plan: 'Plan',
  logbook: 'Logbook',
  ledger: 'Ledger',
  journal: 'Journal',
  calls: 'Calls',
  settings: 'Settings',
} as const;

/** The bath that a recipe is for; null: to be chosen. Of one there is no choice. */
function recipeBath(controllerId: string | null, controllers: readonly ControllerView[]): ControllerView | null {
  const [only, ...others] = controllers;
  return controllers.find((c) => c.controllerId === controllerId) ?? (others.length === 0 ? (only ?? null) : null);
}

/** The bath that is shown; null: none is, or there is none. */
function chosenBath(here: Route, known: Snapshot | null): ControllerView | null {
  const controllers = known?.controllers ?? [];
  if (here.screen === 'bath')
    return controllers.find((c) => c.controllerId === here.controllerId) ?? controllers[0] ?? null;
  if (here.screen !== 'alarm') return null;
  const alarm = known?.alarms.find((one) => one.alarmId === here.alarmId);
  // An alarm of the house belongs to no bath: it stands at each.
  return controllers.find((c) => c.controllerId === alarm?.controllerId) ?? controllers[0] ?? null;
}

function Screen(props: { here: Route; known: Snapshot; chosen: ControllerView | null }) {
  const { here, known, chosen } = props;
  const named = (controllerId: string | null): ControllerView | null =>
    known.controllers.find((c) => c.controllerId === controllerId) ?? null;
  switch (here.screen) {
    case 'settings':
      return <SettingsScreen known={known} />;
    case 'calls':
      return <CallsScreen />;
    case 'keeping':
      return <KeepingScreen />;
    case 'part':
      return <PartScreen />;
    case 'plan':
      return <PlanScreen />;
    case 'job-sheet':
      return <JobSheetScreen />;
    case 'plans':
      return <SavedPlansScreen />;
    case 'rehearsal':
      return <RehearsalScreen />;
    case 'ledger':
      return <LedgerScreen />;
    case 'stock':
      return <StockScreen />;
    case 'logbook':
      return <LogbookScreen />;
    case 'run':
      return <RunScreen />;
    case 'compare':
      return <CompareScreen />;
    case 'charts':
      return <ChartsScreen />;
    case 'journal':
      return <JournalScreen known={known} />;
    case 'recipe':
      return (
        <RecipeScreen controller={recipeBath(here.controllerId, known.controllers)} controllers={known.controllers} />
      );
    case 'leave-alone':
      return <LeaveAloneScreen controllerId={here.controllerId} controller={named(here.controllerId)} />;
    case 'bring-up':
      return <BringUpScreen controllerId={here.controllerId} controller={named(here.controllerId)} />;
    case 'bath':
    case 'alarm':
      if (chosen === null) {
        return (
          <main class="leaf">
            <h1>No controller is paired yet</h1>
            <p>
              Bring one up at the bath, then pair it: both begin under <a href="#settings">Settings</a>.
            </p>
          </main>
        );
      }
      return (
        <>
          <BathScreen key={chosen.controllerId} controller={chosen} known={known} />
          {here.screen === 'alarm' && <AlarmOfAddress key={here.alarmId} alarmId={here.alarmId} known={known} />}
        </>
      );
  }
}
