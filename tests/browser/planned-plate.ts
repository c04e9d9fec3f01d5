/* A part without a model, put down in the room Part as a person does it, and taken on to the plan. Used by the browser tests. */
import type { Page } from 'playwright-core';

/** A part of which only the area is known, typed in the units that are chosen. The room Part is open. */
export async function typedPlate(page: Page, area: string): Promise<void> {
  await page.getByText('Without a model').click();
  await page.getByLabel('It is').selectOption('something whose area I know');
  await page.getByLabel('Surface area').fill(area);
  await page.getByRole('button', { name: 'Add it' }).click();
}

/** The same, then on to the plan by its link; it is there when this ends. */
export async function plannedPlate(page: Page, area = '12'): Promise<void> {
  await typedPlate(page, area);
  await page.getByRole('link', { name: 'What does tonight need? The plan' }).click();
  await page.getByRole('heading', { level: 1, name: 'Plan: Part' }).waitFor();
}
