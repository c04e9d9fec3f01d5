/*
 * Which screen is shown, from the part of the address behind the hash; and the one-time token of a first start.
 * Read by the page; the token leaves the address as soon as it was read, so that it stays in no history.
 */
import { signal } from '@preact/signals';

export type Route = { readonly screen: 'settings' } | { readonly screen: 'bath'; readonly controllerId: string | null };

function routeNow(): Route {
  const hash = decodeURIComponent(location.hash.replace(/^#/, ''));
  if (hash === 'settings') return { screen: 'settings' };
  return { screen: 'bath', controllerId: hash.startsWith('bath/') ? hash.slice(5) : null };
}

export const route = signal<Route>(routeNow());
addEventListener('hashchange', () => {
  route.value = routeNow();
  scrollTo(0, 0);
});

export const bathAddress = (controllerId: string): string => `#bath/${encodeURIComponent(controllerId)}`;

const firstStartToken = new URLSearchParams(location.search).get('token');

/** The token that the one-time link carried, or null. */
export function takenToken(): string | null {
  return firstStartToken;
}

/** Called when the door is open: the token is spent. */
export function forgetToken(): void {
  if (location.search !== '' || location.pathname !== '/') history.replaceState(null, '', '/' + location.hash);
}
