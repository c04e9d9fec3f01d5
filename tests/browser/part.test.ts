/* The part's room in a real browser: models are read in a worker, seen, pointed at, added up; nothing that is there is lost to a bad file. */
import { zipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { eventually, pageRoom } from './page-room.js';
import { shot } from './open-page.js';

const room = pageRoom();

/** A box as ASCII STL, of quadrangles cut in two, or without its lid. */
function boxStl(x: number, y: number, z: number, hasLid = true): Buffer {
  const at = (corner: number) => [corner & 4 ? x : 0, corner & 2 ? y : 0, corner & 1 ? z : 0].join(' ');
  const sides = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], ...(hasLid ? [[1, 5, 7, 3]] : [])]; // prettier-ignore
  const facets = sides.flatMap(([a, b, c, d]) =>
    [[a, b, c], [a, c, d]].map(
      (corners) => `facet normal 0 0 0\nouter loop\n${corners.map((k) => `vertex ${at(k!)}`).join('\n')}\nendloop\nendfacet`,
    ),
  ); // prettier-ignore
  return Buffer.from(`solid box\n${facets.join('\n')}\nendsolid box\n`);
}

const stl = (buffer: Buffer, name = 'box.stl') => ({ name, mimeType: 'model/stl', buffer });
const choose = (page: Page, file: ReturnType<typeof stl>) => page.getByLabel('Choose a model file').setInputFiles(file);
const toPlate = (page: Page, words: string | RegExp) => page.getByRole('heading', { level: 1, name: words }).waitFor();
const withBell = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
  await page.locator('.part-canvas[data-marks="true"]').waitFor({ timeout: 60_000 });
};

/** Red, green and blue of a place of the picture, in shares of its width and height. */
async function colourAt(page: Page, x: number, y: number): Promise<number[]> {
  const photograph = (await page.locator('.part-canvas').screenshot()).toString('base64');
  return page.evaluate(
    async ([base64, across, down]) => {
      const image = new Image();
      image.src = `data:image/png;base64,${base64}`;
      await image.decode();
      const canvas = document.createElement('canvas');
      canvas.width = image.width;
      canvas.height = image.height;
      const brush = canvas.getContext('2d')!;
      brush.drawImage(image, 0, 0);
      return [...brush.getImageData(across * image.width, down * image.height, 1, 1).data].slice(0, 3);
    },
    [photograph, x, y] as const,
  );
}

/** Copper is redder than blue by far; paper and its hatching are nearly grey. */
const isCopper = ([red, , blue]: number[]) => red! - blue! > 70;

describe('a model', () => {
  test('is fetched for with its room only: the first screen of a night loads neither room nor picture', async () => {
    const page = await room.opened();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    await page.reload();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    const scripts = () =>
      asked.filter((path) => path.endsWith('.js')).map((path) => path.replace(/-[\w-]{8}\.js$/, ''));
    // What the first screen has in common with other rooms comes with it, in pieces as the bundler cuts them: those that the document itself names, and no others.
    const named = await page
      .locator('script[src], link[rel=modulepreload]')
      .evaluateAll((pieces) => pieces.map((piece) => piece.getAttribute('src') ?? piece.getAttribute('href') ?? ''));
    const first = scripts().filter((path) => !path.endsWith('service-worker.js'));
    expect([...new Set(first)].sort()).toEqual(named.map((path) => path.replace(/^\.|-[\w-]{8}\.js$/g, '')).sort());
    expect(first.filter((path) => /room|run|sheet|plan-state|picture/.test(path))).toEqual([]);
    await page.getByRole('link', { name: 'Part' }).click();
    await toPlate(page, 'Which part goes into the bath?');
    expect(scripts()).toContain('/assets/room');
    expect(scripts()).not.toContain('/assets/picture-worker');
  });

  test('of the demonstration shows as copper, with its figures in words', async () => {
    const page = await room.opened({}, '/#part');
    await withBell(page);
    await toPlate(page, /^The part: 9\.\d+ dm² to plate$/);
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(true);
    await eventually(async () => isCopper(await colourAt(page, 0.02, 0.02))).toBe(false);
    await page.getByText('105,120 triangles in 1 shell, closed').waitFor();
    await page.getByText(/^Recesses: \d+\s% of what is plated/).waitFor();
    await shot(page, 'part-bell', false);
  });

  test('is drawn by the page itself in a browser that cannot draw in a worker', async () => {
    const page = await room.opened({}, '/#part');
    await page.addInitScript(() => {
      delete (HTMLCanvasElement.prototype as Partial<HTMLCanvasElement>).transferControlToOffscreen;
    });
    await page.reload();
    await withBell(page);
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(true);
    expect(page.workers().map((worker) => worker.url())).toEqual([expect.stringContaining('model-worker')]);
  });

  test('that is pressed in the picture is masked there, the area follows at once, and the step can be taken back', async () => {
    const page = await room.opened({}, '/#part');
    await withBell(page);
    await page.getByText('Sharp edges: 1.06 m in all').waitFor();
    const outside = page.getByLabel(/^Outside, mostly up 4\./);
    expect(await outside.isChecked()).toBe(false);
    const back = page.getByRole('button', { name: 'Take back the last step' });
    expect(await back.isDisabled()).toBe(true);
    const frame = (await page.locator('.part-canvas').boundingBox())!;
    await page.locator('.part-canvas').click({ position: { x: frame.width / 2, y: frame.height / 2 } });
    await toPlate(page, /^The part: 4\.\d+ dm² to plate$/);
    expect(await outside.isChecked()).toBe(true);
    await page.getByText(/^4\.\d+\sdm² is not$/).waitFor();
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(false);
    await back.click();
    await toPlate(page, /^The part: 9\.\d+ dm² to plate$/);
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(true);
    expect(await outside.isChecked()).toBe(false);
  });

  test('shows in its picture what was chosen from the list while the picture was scrolled away', async () => {
    const page = await room.opened({}, '/#part');
    await withBell(page);
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(true);
    await page.getByRole('heading', { name: 'In one bath' }).scrollIntoViewIfNeeded();
    await page.getByLabel(/^Outside, mostly up 4\./).press('Space');
    await toPlate(page, /^The part: 4\.\d+ dm² to plate$/);
    await eventually(async () => isCopper(await colourAt(page, 0.5, 0.5))).toBe(false);
  });

  test('turns and comes nearer by keys and buttons, and a drag is no press', async () => {
    const page = await room.opened({}, '/#part');
    await withBell(page);
    const picture = page.getByRole('application', { name: /Fluted bell lampshade/ });
    const seen = async () => (await picture.screenshot()).toString('base64');
    let before = await seen();
    const changes = async (act: () => Promise<unknown>): Promise<void> => {
      await act();
      await eventually(seen).not.toBe(before);
      before = await seen();
    };
    await changes(() => page.getByRole('button', { name: 'From below' }).click());
    await changes(() => picture.press('ArrowUp'));
    await changes(() => picture.press('+'));
    const frame = (await picture.boundingBox())!;
    await page.mouse.move(frame.x + 100, frame.y + 100);
    await page.mouse.down();
    await changes(() => page.mouse.move(frame.x + 220, frame.y + 110, { steps: 4 }));
    await page.mouse.up();
    await toPlate(page, /^The part: 9\.\d+ dm² to plate$/);
  });

  test('can be cut off at a height, typed or dragged, and taken out by the list, all by keyboard', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(100, 100, 100)));
    await toPlate(page, 'The part: 6 dm² to plate');
    await page.getByLabel('Everything beyond a height').press('Space');
    // A tenth of four sides and the lid.
    await toPlate(page, 'The part: 4.6 dm² to plate');
    const height = page.getByLabel('Height over the lowest point mm');
    await height.fill('50');
    await toPlate(page, 'The part: 3 dm² to plate');
    await page.getByRole('slider', { name: 'Height over the lowest point' }).press('Home');
    // What lies in the plane is not beyond it: the bottom stays.
    await toPlate(page, 'The part: 1 dm² to plate');
    await height.fill('500');
    await page.getByText('Type 0 to 100 mm; got “500”.').waitFor();
    await height.fill('50');
    await page.getByLabel('Not plated is what lies').selectOption('below');
    // The four sides' upper halves and the lid are as much.
    await page.getByLabel('Flat, faces up').press('Space');
    await toPlate(page, 'The part: 2 dm² to plate');
    const back = page.getByRole('button', { name: 'Take back the last step' });
    await back.click();
    await toPlate(page, 'The part: 3 dm² to plate');
    for (let step = 0; step < 5 && (await back.isEnabled()); step++) await back.click();
    await toPlate(page, 'The part: 6 dm² to plate');
  });
});

describe('a file', () => {
  test('without a unit is taken for millimetres, and read as inches or at a scale at once', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(1, 1, 1)));
    await page.getByText(/The part is 1 mm long, which makes no sense for a bath/).waitFor();
    await page.getByLabel("The file's numbers are").selectOption('inches');
    await toPlate(page, 'The part: 0.387 dm² to plate');
    await page.getByText('25.4 × 25.4 × 25.4 mm').waitFor();
    expect(await page.getByText('makes no sense').count()).toBe(0);
    await page.getByLabel('Scale times as long').fill('2');
    await toPlate(page, 'The part: 1.55 dm² to plate');
    await page.getByLabel('Scale times as long').fill('two');
    await page.getByText('such as 1 or 0.5; got “two”').waitFor();
  });

  test('that says its unit is read in it, and does not ask', async () => {
    const model = `<model unit="inch" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources><object id="1" type="model"><mesh>
      <vertices><vertex x="0" y="0" z="0"/><vertex x="4" y="0" z="0"/><vertex x="0" y="4" z="0"/><vertex x="0" y="0" z="4"/></vertices>
      <triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="1" v2="2" v3="3"/><triangle v1="0" v2="3" v3="2"/></triangles>
      </mesh></object></resources><build><item objectid="1"/></build></model>`;
    const buffer = Buffer.from(zipSync({ '3D/3dmodel.model': Buffer.from(model) }));
    const page = await room.opened({}, '/#part');
    await choose(page, { name: 'corner.3mf', mimeType: 'model/3mf', buffer });
    // Three halves of a square of 4 inches and a triangle with sides √32: 24 + 8√3 square inches.
    await toPlate(page, 'The part: 2.44 dm² to plate');
    await page.getByText('Its lengths are inches, as the file says').waitFor();
    expect(await page.getByLabel("The file's numbers are").count()).toBe(0);
  });

  test('with an open surface says what is wrong, how often, and what can be trusted', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(100, 100, 100, false)));
    await toPlate(page, 'The part: 5 dm² to plate');
    await page.getByRole('heading', { name: 'What is wrong with its surface' }).waitFor();
    await page.getByText('Area: can be trusted. Volume: none').waitFor();
    await page.getByRole('listitem').getByText('4 open edges').waitFor();
  });

  test('that cannot be read is refused in the words of the reader, and what was there stays', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(100, 100, 100)));
    await toPlate(page, 'The part: 6 dm² to plate');
    await page.getByLabel('Flat, faces up').check();
    await toPlate(page, 'The part: 5 dm² to plate');
    await choose(page, stl(boxStl(100, 100, 100).subarray(0, 700), 'half.stl'));
    const alert = page.getByRole('alert').filter({ hasText: 'half.stl was not taken' });
    await alert.getByText(/of the STL file cannot be read: expected .*, got .* Export the model again/).waitFor();
    await alert.getByText('What was there before is untouched.').waitFor();
    await toPlate(page, 'The part: 5 dm² to plate');
    expect(await page.getByRole('textbox', { name: 'Name' }).count()).toBe(1);
  });

  test('shows how far it was read, can be cancelled, and the next one is read all the same', async () => {
    const page = await room.opened({}, '/#part');
    // A reader that never gets further: what it is asked does not arrive.
    await page.evaluate(() => {
      const ask = Object.getOwnPropertyDescriptor(Worker.prototype, 'postMessage')!;
      Worker.prototype.postMessage = () => undefined;
      addEventListener('ask-again', () => Object.defineProperty(Worker.prototype, 'postMessage', ask));
    });
    await choose(page, stl(boxStl(10, 10, 10), 'large.stl'));
    await page.getByRole('progressbar', { name: 'Reading large.stl' }).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await eventually(() => page.getByRole('progressbar').count()).toBe(0);
    await page.evaluate(() => dispatchEvent(new Event('ask-again')));
    await choose(page, stl(boxStl(100, 100, 100)));
    await toPlate(page, 'The part: 6 dm² to plate');
  });

  test('can be dropped, several at once', async () => {
    const page = await room.opened({}, '/#part');
    await toPlate(page, 'Which part goes into the bath?');
    const files = [boxStl(100, 100, 100), boxStl(200, 200, 200)].map((buffer) => buffer.toString());
    const dropped = await page.evaluateHandle((texts) => {
      const transfer = new DataTransfer();
      texts.forEach((text, k) => transfer.items.add(new File([text], `box ${String(k)}.stl`)));
      return transfer;
    }, files);
    await page.dispatchEvent('main', 'drop', { dataTransfer: dropped });
    await toPlate(page, 'The part: 30 dm² to plate');
    expect(await page.getByRole('textbox', { name: 'Name' }).count()).toBe(2);
  });
});

describe('in one bath', () => {
  test('parts add up, each as often as it hangs there, with and without a model', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(100, 100, 100), 'cube.stl'));
    await toPlate(page, 'The part: 6 dm² to plate');
    await page.getByLabel('Pieces').fill('3');
    await toPlate(page, 'The part: 18 dm² to plate');
    await page.getByLabel('Pieces').fill('0');
    await page.getByText('Type 1, 2, 3 …').waitFor();
    await toPlate(page, 'The part: 18 dm² to plate');

    await page.getByText('Without a model').click();
    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByText('Length: type a number of mm above zero; got nothing.').waitFor();
    await page.getByLabel('Length').fill('100');
    await page.getByLabel('Width').fill('50');
    await page.getByLabel('Thickness').fill('2');
    await page.getByText('1.06 dm² and 10 cm³').waitFor();
    await page.getByRole('button', { name: 'Add it' }).click();
    await toPlate(page, 'The part: 19.1 dm² to plate');

    await page.getByLabel('It is').selectOption('something whose area I know');
    await page.getByLabel('Surface area').fill('4,5');
    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByText('23.6 dm² on 5 pieces').waitFor();
    await page.getByText('the volume is not known').waitFor();
    await page.getByRole('button', { name: 'Remove Plate' }).click();
    await page.getByText('22.5 dm² on 4 pieces').waitFor();
    await page.getByRole('button', { name: 'Show it' }).click();
    await page.locator('.part-canvas[data-drawn="12"]').waitFor();
  });

  test('stay as they are while somebody looks at the bath', async () => {
    const page = await room.opened({}, '/#part');
    await choose(page, stl(boxStl(100, 100, 100)));
    await page.getByLabel('Flat, faces up').check();
    await toPlate(page, 'The part: 5 dm² to plate');
    await page.getByRole('link', { name: 'Bath', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    await page.getByRole('link', { name: 'Part' }).click();
    await toPlate(page, 'The part: 5 dm² to plate');
    await page.locator('.part-canvas[data-drawn="12"]').waitFor();
    expect(await page.getByLabel('Flat, faces up').isChecked()).toBe(true);
  });
});

test('the room looks right empty, and with a part, a fault and a refusal, on a phone and on a wide screen, by day and by night', async () => {
  await room.looksRight('part-empty', '/#part', (page) => toPlate(page, 'Which part goes into the bath?'));
  await room.looksRight('part', '/#part', async (page) => {
    await choose(page, stl(boxStl(100, 100, 100, false)));
    await page.locator('.part-canvas[data-marks="true"]').waitFor();
    await page.getByLabel('Everything beyond a height').check();
    await choose(page, stl(Buffer.from('no model'), 'soup.stl'));
    await page.getByText('soup.stl was not taken').waitFor();
    await page.getByText('Without a model').click();
  });
});
