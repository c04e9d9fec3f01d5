/*
 * The run sheet as one HTML document that stands by itself: no script, nothing fetched, words as words, the picture as SVG. Printed it is one page, on a phone it
 * is read from top to bottom, by night on dark ground. It shows what set-sheet.ts chose for the paper, so that it says the same as the PDF.
 */
import type { PrintedSheet } from '@bathkeeper/shared-core/trade';
import type { Picture, Shape, Tone } from './night-picture.js';
import { PICTURE_SIZE } from './night-picture.js';
import { MARGIN, type Paper, papers } from './paper.js';
import type { SetSheet, ShownLine } from './set-sheet.js';
import { tones } from './tones.js';

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
/** Text is text: what a person wrote never becomes markup. */
const plain = (text: string): string => text.replace(/[&<>"']/g, (letter) => ENTITIES[letter]!);

export function sheetHtml(sheet: PrintedSheet, set: SetSheet, picture: Picture, paper: Paper): string {
  const marks = sheet.marks.map((mark) => ` · <strong>${plain(mark)}</strong>`).join('');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Run sheet: ${plain(sheet.title)}</title>
<style>${style(paper)}</style>
</head>
<body>
<article>
<header>
<p class="tag">Run sheet${marks}</p>
<h1 dir="auto">${plain(sheet.title)}</h1>
<p>${plain(sheet.whose)}</p>
<p>${plain(sheet.when)}</p>
</header>
<div class="picture" role="region" aria-label="Picture of the night" tabindex="0">
${svg(picture)}
</div>
<div class="groups">
${set.groups.map(({ title, rows }) => `<section><h2>${plain(title)}</h2><dl>${rows.map(({ label, words }) => `<div><dt>${plain(label)}</dt><dd dir="auto">${plain(words)}</dd></div>`).join('')}</dl></section>`).join('\n')}
</div>
<section class="story">
<h2>What happened</h2>
${set.shown.length === 0 && set.leftOut.length === 0 ? '<p>The controller told nothing of it.</p>' : ''}
<ol>
${set.shown.map(storyLine).join('\n')}
</ol>
${set.leftOut.map((words) => `<p class="left-out">${plain(words)}</p>`).join('\n')}
</section>
<footer>
<p class="by-hand"><span>Looked at and kept by</span><i></i><span>Date</span><i></i><span>Signature</span><i></i></p>
<p>${plain(sheet.foot)}</p>
</footer>
</article>
<p class="hint">Print it with the browser: one page of ${papers[paper].name}.</p>
</body>
</html>
`;
} // prettier-ignore

function storyLine({ at, words, weight, kind, number }: ShownLine): string {
  const who = kind === 'alarm' ? `Alarm ${number === null ? '' : `${String(number)} `}· ` : '';
  return `<li class="${weight}"><time>${plain(at)}</time> <span dir="auto">${who}${plain(words)}</span></li>`;
} // prettier-ignore

function svg({ width, height, shapes, words }: Picture): string {
  return `<svg viewBox="0 0 ${number(width)} ${number(height)}" role="img" aria-label="${plain(words)}" xmlns="http://www.w3.org/2000/svg">${shapes.map(element).join('')}</svg>`;
}

const number = (value: number): string => String(Math.round(value * 100) / 100);

function element(shape: Shape): string {
  if (shape.kind === 'text') {
    const [x, y] = shape.at;
    return `<text x="${number(x)}" y="${number(y)}" class="${shape.tone}" text-anchor="${shape.anchor}">${plain(shape.words)}</text>`;
  }
  const points = shape.points.map(([x, y]) => `${number(x)},${number(y)}`).join(' ');
  return shape.kind === 'area'
    ? `<polygon points="${points}" class="${shape.tone}"/>`
    : `<polyline points="${points}" class="${shape.tone}" stroke-width="${number(shape.width)}"${shape.isDashed === true ? ' stroke-dasharray="2 1.6"' : ''}/>`;
}

function toneLines(of: Readonly<Record<Tone | 'paper', string>>): string {
  return Object.entries(of)
    .map(([name, colour]) => `--${name}:${colour}`)
    .join(';');
}

/** Of the letters to those of the PDF: fonts of other devices are wider. */
const SMALLER = 0.93;

function style(paper: Paper): string {
  const point = (size: number): string => `${number(size * SMALLER)}pt`;
  return `
:root{color-scheme:light dark;${toneLines(tones.day)}}
@media (prefers-color-scheme:dark){:root{${toneLines(tones.night)}}}
*{box-sizing:border-box;overflow-wrap:anywhere}
body{margin:0;padding:1rem;background:var(--paper);color:var(--ink);font:1rem/1.45 'DejaVu Sans Condensed',Arial,'Liberation Sans',Helvetica,Roboto,sans-serif}
article,.hint{max-width:60rem;margin:0 auto}
h1{margin:.1em 0;font-size:1.6rem;line-height:1.15}h2{margin:0;padding:.9em 0 .2em;font-size:1.1rem}p{margin:.2em 0}
.tag{float:right;margin:0 0 0 1em;font-weight:bold;color:var(--faint)}.tag strong,.care{color:var(--care)}
.picture{overflow-x:auto;margin:.8em 0}svg{display:block;width:100%;min-width:36rem}
svg text{font-size:${String(PICTURE_SIZE)}px}${Object.keys(tones.day)
    .map(
      (tone) =>
        `svg text.${tone},svg polygon.${tone}{fill:var(--${tone})}svg polyline.${tone}{fill:none;stroke:var(--${tone});stroke-linejoin:round}`,
    )
    .join('')}
dl,ol{margin:0;padding:0;list-style:none}dl div{display:grid;grid-template-columns:42% 1fr;gap:0 .6em;padding:.15em 0;border-top:1px solid var(--rule)}
dt,time,footer,.hint{color:var(--faint)}dd{margin:0;font-variant-numeric:tabular-nums}
li{display:grid;grid-template-columns:5.6em 1fr;padding:.15em 0}.left-out{font-weight:bold}
.by-hand{display:flex;flex-wrap:wrap;align-items:end;gap:.5em;margin-top:2em}.by-hand i{flex:1 0 7em;border-bottom:1px solid var(--ink)}
@media (min-width:52rem){.groups{columns:2;column-gap:2em}section{break-inside:avoid-column}.story ol{columns:2;column-gap:2em}li{break-inside:avoid}}
@page{size:${papers[paper].name};margin:${String(MARGIN)}pt}
@media print{
:root{color-scheme:light;${toneLines(tones.day)}}
body{padding:0;font-size:${point(7.2)};line-height:1.26}.hint{display:none}article{max-width:none}
h1{font-size:${point(sizeOfTitle)};margin:0}h2{font-size:${point(8.2)};padding:2pt 0 1pt}p{margin:0}.tag{font-size:${point(8.6)}}
.picture{overflow:visible;margin:4pt 0 2pt}svg{min-width:0}
dl div,li{padding:.5pt 0 0;border-top-width:.4pt}li{grid-template-columns:36pt 1fr;padding:0;border:0;break-inside:avoid}
.groups,.story ol{columns:2;column-gap:16pt}.groups section{break-inside:avoid}dl div{break-inside:avoid}
footer{font-size:${point(6.2)}}.by-hand{margin:16pt 0 4pt;font-size:${point(7.2)}}
}`;
}
const sizeOfTitle = 14;
