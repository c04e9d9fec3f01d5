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

/** Words of a drawing that lie over each other, or are cut off at its edge. A fifth of a line's height is free air above and below its letters. */
export function collidingWords(page: Page, drawing: string): Promise<string[]> {
  return page.evaluate((selector) => {
    const svg = document.querySelector(selector);
    if (!svg) return [`no drawing ${selector}`];
    const frame = svg.getBoundingClientRect();
    const words = [...svg.querySelectorAll('text')].flatMap((text) => {
      const { left, right, top, bottom } = text.getBoundingClientRect();
      const air = (bottom - top) / 5;
      const said = text.textContent.trim();
      return said === '' ? [] : [{ said, left, right, top: top + air, bottom: bottom - air }];
    });
    const faults: string[] = [];
    words.forEach((one, k) => {
      if (
        one.left < frame.left - 0.5 ||
        one.right > frame.right + 0.5 ||
        one.top < frame.top ||
        one.bottom > frame.bottom
      )
        faults.push(`"${one.said}" is cut off`);
      for (const other of words.slice(k + 1)) {
        if (one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom)
          faults.push(`"${one.said}" over "${other.said}"`);
      }
    });
    return faults;
  }, drawing);
}

/**
 * Words of a drawing without contrast against what is really painted under their letters: the drawing is photographed with its words and
 * without them, and each letter's pixels are judged against the ground that was there (WCAG 2.2, 1.4.3: 4.5, or 3 for large words).
 * A thin line may cross a word: a tenth of its pixels may fail.
 */
export async function drawnContrastFaults(page: Page, drawing: string): Promise<string[]> {
  const svg = page.locator(drawing);
  await svg.scrollIntoViewIfNeeded();
  const withWords = (await svg.screenshot({ animations: 'disabled' })).toString('base64');
  await svg.evaluate((element) => {
    // The halo around a word stays: it is part of the ground.
    for (const text of element.querySelectorAll('text')) text.style.fillOpacity = '0';
  });
  const without = (await svg.screenshot({ animations: 'disabled' })).toString('base64');
  await svg.evaluate((element) => {
    for (const text of element.querySelectorAll('text')) text.style.fillOpacity = '';
  });
  return page.evaluate(
    async ([selector, first, second]) => {
      const photograph = async (base64: string): Promise<ImageData> => {
        const image = new Image();
        image.src = `data:image/png;base64,${base64}`;
        await image.decode();
        const canvas = document.createElement('canvas');
        canvas.width = image.width;
        canvas.height = image.height;
        const brush = canvas.getContext('2d')!;
        brush.drawImage(image, 0, 0);
        return brush.getImageData(0, 0, image.width, image.height);
      };
      const [seen, ground] = [await photograph(first), await photograph(second)];
      const luminance = (rgb: readonly number[]): number => {
        const [r, g, b] = rgb.slice(0, 3).map((c) => {
          const s = c / 255;
          return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
        }) as [number, number, number];
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const ratio = (a: readonly number[], b: readonly number[]): number => {
        const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
        return (light + 0.05) / (dark + 0.05);
      };
      const svg = document.querySelector(selector)!;
      const frame = svg.getBoundingClientRect();
      const scale = seen.width / frame.width;
      const faults: string[] = [];
      for (const text of svg.querySelectorAll('text')) {
        const said = text.textContent.trim();
        if (said === '') continue;
        const style = getComputedStyle(text);
        let opacity = 1;
        for (let at: Element | null = text; at && at !== svg.parentElement; at = at.parentElement)
          opacity *= Number(getComputedStyle(at).opacity);
        const fill = (style.fill.match(/[\d.]+/g) ?? []).map(Number);
        const box = text.getBoundingClientRect();
        const pixelsHigh = parseFloat(style.fontSize) * (frame.width / (svg as SVGSVGElement).viewBox.baseVal.width);
        const least = pixelsHigh >= 24 || (pixelsHigh >= 18.66 && Number(style.fontWeight) >= 700) ? 3 : 4.5;
        let letters = 0;
        let failing = 0;
        let worst = 99;
        for (let y = Math.floor((box.top - frame.top) * scale); y < (box.bottom - frame.top) * scale; y++) {
          for (let x = Math.floor((box.left - frame.left) * scale); x < (box.right - frame.left) * scale; x++) {
            if (x < 0 || y < 0 || x >= seen.width || y >= seen.height) continue;
            const at = (y * seen.width + x) * 4;
            const under = [...ground.data.slice(at, at + 3)];
            const isLetter = under.some((c, k) => Math.abs(c - seen.data[at + k]!) > 24);
            if (!isLetter) continue;
            letters++;
            const got = ratio(fill.map((c, k) => c * opacity + (under[k] ?? 0) * (1 - opacity)).slice(0, 3), under);
            worst = Math.min(worst, got);
            if (got < least) failing++;
          }
        }
        if (letters === 0) faults.push(`"${said}" cannot be seen at all`);
        else if (failing > letters / 10) faults.push(`"${said}" ${worst.toFixed(2)}`);
      }
      return faults;
    },
    [drawing, withWords, without] as const,
  );
}
