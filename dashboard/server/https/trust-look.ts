/*
 * The look of /trust: that of the page, in the little that one sheet of text needs. It is served apart from the page's own files, whose
 * names change with each build and which an untrusting phone may not have yet.
 */
export const TRUST_LOOK = `:root { color-scheme: light dark; --paper: #f5eedf; --leaf: #faf5ea; --ink: #2a241b; --rule: #d5c8b0; --copper: #8f4a1b; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #17130e; --leaf: #1d1812; --ink: #d8cbb4; --rule: #3a3226; --copper: #d3925f; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); overflow-wrap: break-word;
  font: 16px/1.5 system-ui, -apple-system, 'Segoe UI', 'Helvetica Neue', 'DejaVu Sans', sans-serif; }
main { max-width: 42rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1, h2 { font-family: 'Iowan Old Style', 'Palatino Linotype', Palatino, 'Book Antiqua', Georgia, 'DejaVu Serif', serif;
  font-weight: 600; line-height: 1.25; text-wrap: balance; }
h1 { font-size: clamp(1.5rem, 1.1rem + 1.9vw, 2.4rem); }
h2 { font-size: 1.2rem; margin: 1.6rem 0 0.5rem; border-top: 1px solid var(--rule); padding-top: 0.8rem; }
a { color: var(--copper); text-underline-offset: 0.2em; }
a:focus-visible { outline: 3px solid var(--copper); outline-offset: 2px; }
li { margin-bottom: 0.5rem; }
code, .digits { font-family: ui-monospace, 'DejaVu Sans Mono', monospace; font-size: 0.9rem; }
.digits { background: var(--leaf); border: 1px solid var(--rule); padding: 0.6rem 0.8rem; line-height: 1.7; }
.go { display: inline-block; min-height: 44px; padding: 0.55rem 0; font-weight: 600; }
`;
