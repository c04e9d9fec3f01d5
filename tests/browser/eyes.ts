/*
 * What a careful reader's eyes would find on a page: words without contrast, things wider than the screen, targets too small
 * for a finger. Used by the browser tests; measures in the page, changes nothing there.
 */
import type { Page } from 'playwright-core';

/** Elements that make the page scroll sideways; what scrolls within a frame of its own does not count. */
export function overflowingElements(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const wide = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= wide) return [];
    return [...document.querySelectorAll('body *')]
      .filter((element) => element.getBoundingClientRect().right > wide + 0.5)
      .map((element) => `${element.tagName} ${element.getAttribute('class') ?? ''}`)
      .slice(0, 5);
  });
}

/** Buttons, links in the heading, fields and folds below 44 by 44 CSS pixels (WCAG 2.2, 2.5.5: Target Size, Enhanced). */
export function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('button, header a, input, textarea, summary, select')].flatMap((element) => {
      // A box to tick is as large as the label around it.
      const target = element.matches('[type=checkbox], [type=radio]') ? (element.closest('label') ?? element) : element;
      const { width, height } = target.getBoundingClientRect();
      if (width === 0 && height === 0) return [];
      return width >= 43.5 && height >= 43.5
        ? []
        : [`${element.tagName} "${(element.textContent || '').trim()}" ${width.toFixed(0)} x ${height.toFixed(0)}`];
    }),
  );
}

/** Words below the contrast that WCAG 2.2, 1.4.3 (AA) asks for: 4.5, or 3 from 24 px or bold 18.66 px. Dull buttons are exempt there. */
export function contrastFaults(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    type Colour = [number, number, number, number];
    const parse = (text: string): Colour => {
      const parts = (text.match(/[\d.]+/g) ?? []).map(Number);
      return [parts[0] ?? 0, parts[1] ?? 0, parts[2] ?? 0, parts[3] ?? 1];
    };
    const over = (top: Colour, under: Colour): Colour => [
      top[0] * top[3] + under[0] * (1 - top[3]),
      top[1] * top[3] + under[1] * (1 - top[3]),
      top[2] * top[3] + under[2] * (1 - top[3]),
      1,
    ];
    // Relative luminance and contrast ratio as WCAG 2.2 defines them.
    const luminance = (colour: Colour): number => {
      const [r, g, b] = colour.slice(0, 3).map((c) => {
        const s = c / 255;
        return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
      }) as [number, number, number];
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const ratio = (a: Colour, b: Colour): number => {
      const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
      return (light + 0.05) / (dark + 0.05);
    };
    const groundOf = (element: Element): Colour => {
      const layers: Colour[] = [];
      for (let at: Element | null = element; at; at = at.parentElement) {
        const ground = parse(getComputedStyle(at).backgroundColor);
        if (ground[3] > 0) layers.push(ground);
        if (ground[3] === 1) break;
      }
      return layers.reverse().reduce<Colour>((under, top) => over(top, under), [255, 255, 255, 1]);
    };
    const faults = new Set<string>();
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      const words = node.textContent?.trim() ?? '';
      if (!element || words === '' || element.closest('.unseen, :disabled, noscript')) continue;
      const box = element.getBoundingClientRect();
      if (box.width === 0 || box.height === 0) continue;
      const style = getComputedStyle(element);
      const isDrawn = element instanceof SVGElement;
      const ground = groundOf(element);
      const ink = over(parse(isDrawn ? style.fill : style.color), ground);
      const isLarge =
        parseFloat(style.fontSize) >= 24 || (parseFloat(style.fontSize) >= 18.66 && Number(style.fontWeight) >= 700);
      const got = ratio(ink, ground);
      if (got < (isLarge ? 3 : 4.5)) faults.add(`"${words.slice(0, 40)}" ${got.toFixed(2)}`);
    }
    return [...faults];
  });
}
