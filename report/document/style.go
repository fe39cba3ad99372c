package document

// style is the page's, for screens light and dark, phones and paper. Pictures
// stay on white: their colours were chosen for it.
const style = `:root { color-scheme: light dark; --ink: #222; --soft: #555; --line: #c9c9c9; --back: #fff; --band: #f3f3f5; --link: #005a8c; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e8e8e8; --soft: #b4b4b4; --line: #4a4a4a; --back: #17181a; --band: #222427; --link: #7cc4f0; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--back); color: var(--ink); font: 1rem/1.5 "Liberation Sans", Arial, Helvetica, sans-serif; overflow-wrap: break-word; }
header, nav, main, footer { max-width: 62rem; margin: 0 auto; padding: 0 1rem; }
h1 { font-size: 1.9rem; line-height: 1.2; margin: 1.5rem 0 .25rem; }
h2 { font-size: 1.4rem; line-height: 1.25; margin: 2.5rem 0 .75rem; padding-top: .75rem; border-top: 2px solid var(--line); }
h3 { font-size: 1.1rem; margin: 1.75rem 0 .5rem; }
p, ul, dl { margin: .5rem 0; max-width: 46rem; }
a { color: var(--link); }
a:focus-visible, [tabindex]:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
.about { color: var(--soft); }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: .5rem; background: var(--back); padding: .5rem; }
dl { display: grid; grid-template-columns: minmax(5rem, auto) minmax(0, 1fr); gap: .2rem 1.2rem; }
dt { color: var(--soft); }
dd { margin: 0; }
nav ol { columns: 2 18rem; padding-left: 1.6rem; }
.wide { overflow-x: auto; max-width: 100%; margin: 1rem 0; }
table { border-collapse: collapse; font-size: .92rem; }
caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { padding: .25rem .8rem .25rem 0; text-align: left; vertical-align: top; border-bottom: 1px solid var(--line); }
th.r, td.r { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
td.n { white-space: nowrap; }
tbody th { min-width: 6rem; }
thead th { border-bottom: 2px solid var(--line); }
tbody th { font-weight: normal; }
figure { margin: 1.5rem 0; }
figcaption { font-weight: bold; font-size: .92rem; margin-top: .4rem; }
.picture { overflow-x: auto; background: #fff; border: 1px solid var(--line); border-radius: 4px; }
.picture svg { display: block; height: auto; min-width: 44rem; width: 100%; }
.picture.upright svg { max-width: 50rem; margin: 0 auto; }
pre { background: var(--band); padding: .8rem; overflow-x: auto; font: .85rem/1.45 "Liberation Mono", Consolas, monospace; }
footer { margin-top: 3rem; padding-bottom: 2rem; color: var(--soft); font-size: .9rem; }
@media (max-width: 40rem) {
  body { font-size: .95rem; }
  dl.long { grid-template-columns: minmax(0, 1fr); gap: 0; }
  dl.long dd { margin-bottom: .4rem; }
  dl { grid-template-columns: minmax(2rem, auto) minmax(0, 1fr); }
}
@media print {
  :root { color-scheme: light; --ink: #000; --soft: #444; --line: #bbb; --back: #fff; --band: #f3f3f5; --link: #000; }
  @page { size: A4; margin: 16mm; }
  body { font-size: 10pt; }
  header, nav, main, footer { max-width: none; padding: 0; }
  .skip { display: none; }
  h2, h3, caption { break-after: avoid; }
  figure, tr { break-inside: avoid; }
  td.n, th.r, td.r { white-space: normal; }
  tbody th { min-width: 0; }
  .wide, .picture, pre { overflow: visible; }
  .picture { border: 0; }
  .picture svg { min-width: 0; max-height: 230mm; }
  table { font-size: 8.5pt; }
  pre { white-space: pre-wrap; font-size: 8pt; }
}
`
