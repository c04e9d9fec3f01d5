/*
 * Under which name a press on an alarm is kept, beside the buttons: seen, and changed where one likes. It is never asked for: who acknowledges at three in the night
 * presses once, name or none.
 */
import { useState } from 'preact/hooks';
import { nameFault } from '@bathkeeper/shared-core/watch';
import { WhoField } from '../forms/who-field.js';
import { signedName, who } from '../state/who.js';

/** Nothing is lost by a name that cannot be kept: it is told, and left out. */
export function unkeptWords(): string | undefined {
  const name = who.value.trim();
  const fault = name === '' ? null : nameFault(name);
  return fault === null ? undefined : `Kept without it: ${fault}.`;
}

/** `what`: the press, as the subject of a sentence. Example: "Acknowledging". */
export function KeptAs({ what }: { what: string }) {
  const [isOpen, setOpen] = useState(false);
  const name = signedName.value;
  // Stands among the alarms, which are read out when they change; a name that is typed is no alarm.
  return (
    <div class="kept-as" aria-live="off">
      {isOpen ? (
        <form
          noValidate
          aria-label="Your name"
          onSubmit={(event) => {
            event.preventDefault();
            setOpen(false);
          }}
        >
          <WhoField isAsked={false} remark={unkeptWords()} />
          <button type="submit" class="quiet">
            Done
          </button>
        </form>
      ) : (
        <>
          <p class="hint">
            {name === undefined ? (
              `${what} is kept without a name: “on the page”.`
            ) : (
              <>
                {what} is kept under the name <bdi>{name}</bdi>.
              </>
            )}
          </p>
          <button type="button" class="quiet" onClick={() => setOpen(true)}>
            {name === undefined ? 'Say who you are' : 'Change the name'}
          </button>
        </>
      )}
    </div>
  );
}
