/* One person in the list of those who are called: hours, channels with their state, test call, and the ways to change any of it. */
import { useState } from 'preact/hooks';
import type { ChannelView, ContactView, Refusal } from '@bathkeeper/shared-core/messages';
import { AskedTwice } from '../forms/asked-twice.js';
import { RefusalWords } from '../screens/refusal.js';
import { type Answer, changeContact, removeChannel, removeContact } from '../state/api.js';
import { serverNowMs } from '../state/state.js';
import { channelName, channelWords, hoursWords } from '../words/call-words.js';
import { ChannelForm } from './channel-form.js';
import { ContactForm } from './contact-form.js';
import { TestCall } from './test-call.js';

export function Contact(props: { contact: ContactView; onChanged: () => void; onEarlier: (() => void) | null }) {
  const { contact, onChanged } = props;
  const [open, setOpen] = useState<'change' | 'channel' | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const close = (): void => setOpen(null);
  const done = (): void => {
    close();
    onChanged();
  };
  const act = async (asked: Promise<Answer<unknown>>): Promise<void> => {
    const answer = await asked;
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) done();
  };
  const wanted = [
    contact.wantsGoodNews ? 'good news' : '',
    contact.wantsMorningSummary ? 'the morning summary' : '',
    contact.wantsLowPriority ? 'low priority' : '',
  ].filter((words) => words !== '');
  return (
    <li class="contact">
      <h3>{contact.name}</h3>
      <p class="hint">
        {hoursWords(contact)}
        {wanted.length > 0 && `; also wants ${wanted.join(', ')}`}
      </p>
      {contact.channels.length === 0 ? (
        <p class="caution">No way to reach {contact.name} yet: add one.</p>
      ) : (
        <ul class="channels" aria-label={`Ways to reach ${contact.name}`}>
          {contact.channels.map((channel) => (
            <Channel
              key={channel.channelId}
              channel={channel}
              onRemove={() => void act(removeChannel(channel.channelId))}
            />
          ))}
        </ul>
      )}
      {contact.channels.length > 0 && (
        <TestCall contactId={contact.contactId} name={contact.name} repeats={false} onConfirmed={onChanged} />
      )}
      {open === 'change' ? (
        <ContactForm
          contact={contact}
          place={contact.place}
          send={(request) => changeContact(contact.contactId, request)}
          onDone={done}
          onLeave={close}
        />
      ) : open === 'channel' ? (
        <ChannelForm contact={contact} onDone={done} onLeave={close} />
      ) : (
        <div class="row">
          <button
            type="button"
            class="quiet"
            aria-label={`Add a way to reach ${contact.name}`}
            onClick={() => setOpen('channel')}
          >
            Add a way
          </button>
          <button type="button" class="quiet" aria-label={`Change ${contact.name}`} onClick={() => setOpen('change')}>
            Change
          </button>
          {props.onEarlier && (
            <button type="button" class="quiet" aria-label={`Call ${contact.name} earlier`} onClick={props.onEarlier}>
              Call earlier
            </button>
          )}
          <AskedTwice
            words="Remove"
            label={`Remove ${contact.name}`}
            question={`Remove ${contact.name} and every way to reach them?`}
            yes={`Remove ${contact.name}`}
            act={() => void act(removeContact(contact.contactId))}
          />
        </div>
      )}
      <RefusalWords refusal={refusal} />
    </li>
  );
}

function Channel(props: { channel: ChannelView; onRemove: () => void }) {
  const { channel } = props;
  const kind = channelName[channel.kind];
  return (
    <li data-failing={channel.lastFailure === null ? undefined : ''}>
      <p>
        <strong>{kind}</strong> {channel.shownAddress}
        <br />
        <span class={channel.lastFailure === null ? 'hint' : 'caution'}>
          {channelWords(channel, serverNowMs.value)}
        </span>
      </p>
      <AskedTwice
        words="Remove"
        label={`Remove ${kind} ${channel.shownAddress}`}
        question={`Remove ${kind} ${channel.shownAddress}? What is secret in it must be typed anew to have it back.`}
        yes="Remove this way"
        act={props.onRemove}
      />
    </li>
  );
}
