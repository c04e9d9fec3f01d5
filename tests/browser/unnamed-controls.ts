/*
 * Controls that somebody who hears the page cannot tell: read from the browser's own accessibility tree, as a screen reader gets it. Called by
 * the browser tests; it presses nothing.
 */
import type { Page } from 'playwright-core';

/** Roles that say what takes the focus (WAI-ARIA 1.2: widgets, and the dialog itself; DateTime and DisclosureTriangle are Chromium's own). What can be focused and has none of them is told as well. */
const CONTROL_ROLES = new Set(
  'button checkbox combobox dialog link listbox option radio searchbox slider spinbutton switch tab textbox DateTime DisclosureTriangle'.split(
    ' ',
  ),
);

interface TreeNode {
  readonly ignored: boolean;
  readonly role?: { readonly value?: string };
  readonly name?: { readonly value?: string };
  readonly properties?: readonly { readonly name: string; readonly value: { readonly value?: unknown } }[];
}

export interface ControlsHeard {
  /** How many there are: a page that shows none has been read too early. */
  readonly count: number;
  /** Each a role and a name, such as `textbox ""`. */
  readonly faults: readonly string[];
}

/** Example: a page with one button without words gives { count: 1, faults: ['button ""'] }. */
export async function controlsHeard(page: Page): Promise<ControlsHeard> {
  const session = await page.context().newCDPSession(page);
  const { nodes } = (await session.send('Accessibility.getFullAXTree')) as { nodes: readonly TreeNode[] };
  await session.detach();
  const controls = nodes.filter((node) => !node.ignored && isControl(node));
  const faults = controls
    .map((node) => ({ role: node.role?.value ?? '', name: (node.name?.value ?? '').trim() }))
    .filter(({ role, name }) => name === '' || !CONTROL_ROLES.has(role))
    .map(({ role, name }) => `${role} "${name}"`);
  return { count: controls.length, faults };
}

function isControl(node: TreeNode): boolean {
  const role = node.role?.value ?? '';
  if (role === 'RootWebArea') return false;
  return (
    CONTROL_ROLES.has(role) ||
    (node.properties ?? []).some((one) => one.name === 'focusable' && one.value.value === true)
  );
}
