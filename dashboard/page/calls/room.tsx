/*
 * Who is called: whether this device is, people in their order with hours and ways to reach them, when it is repeated and passed on, and the mail server.
 * Reached from the heading. The dashboard calls; what is typed here is kept there, and what is secret never comes back.
 */
import { useState } from 'preact/hooks';
import type { ContactView, Refusal } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { addContact, askContacts, changeContact } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { contactRequestOf } from './contact-request.js';
import { Contact } from './contact.js';
import { ContactForm } from './contact-form.js';
import { Escalation } from './escalation.js';
import { MailServer } from './mail-server.js';
import { ThisDevice } from './this-device.js';

export function CallsScreen() {
  const { value, refusal, again } = useAsked(askContacts, []);
  const [isAdding, setAdding] = useState(false);
  const [moveRefusal, setMoveRefusal] = useState<Refusal | null>(null);
  const contacts = value === null ? null : [...value].sort((a, b) => a.place - b.place || a.contactId - b.contactId);
  const swap = async (one: ContactView, other: ContactView): Promise<void> => {
    // Told one after the other; between the two both may have the same place, which the dashboard orders by itself.
    const first = await changeContact(one.contactId, { ...contactRequestOf(one), place: other.place });
    const answer = first.ok
      ? await changeContact(other.contactId, { ...contactRequestOf(other), place: one.place })
      : first;
    setMoveRefusal(answer.ok ? null : answer.refusal);
    again();
  };
  return (
    <main class="leaf settings calls">
      <h1>Who is called</h1>
      <p>
        When an alarm wants a person, the first in this list who is to be called at that hour is called, again after a
        while, and then the next.
      </p>
      {contacts !== null && <ThisDevice contacts={contacts} onChanged={again} />}
      <section aria-labelledby="contacts-title">
        <h2 id="contacts-title">People, in order</h2>
        {contacts === null && refusal === null && <p class="hint">Fetching the list…</p>}
        {contacts?.length === 0 && !isAdding && (
          <p class="caution">Nobody: an alarm stands on this page and sounds at the bath, and wakes no phone.</p>
        )}
        {contacts !== null && contacts.length > 0 && (
          <ol class="contacts">
            {contacts.map((contact, place) => (
              <Contact
                key={contact.contactId}
                contact={contact}
                onChanged={again}
                onEarlier={place === 0 ? null : () => void swap(contact, contacts[place - 1]!)}
              />
            ))}
          </ol>
        )}
        {isAdding ? (
          <ContactForm
            place={(contacts?.at(-1)?.place ?? 0) + 1}
            send={addContact}
            onDone={() => {
              setAdding(false);
              again();
            }}
            onLeave={() => setAdding(false)}
          />
        ) : (
          <button type="button" class="plain" disabled={contacts === null} onClick={() => setAdding(true)}>
            Add a person
          </button>
        )}
        <RefusalWords refusal={moveRefusal ?? refusal} />
      </section>
      <Escalation />
      <MailServer />
    </main>
  );
}
