// The section view: a trial on the fine section, or in three dimensions.
import { $, guarded } from './dom.js';
import { home, start } from './jobs.js';
import { on, source, state } from './state.js';
import { onUnits, show } from './units.js';

// Lengths of the grids, in the units chosen.
function grids() {
  $('section-grid').textContent = show(1e-3, 'length');
  for (const o of $('around').options) o.textContent = show(Number(o.dataset.metres), 'length');
}
on('answer', grids); // by then the units are known
onUnits(grids);

let of = ''; // text that the frames belong to

home('section', 'section-out');
async function work(passing) {
  const text = state.text;
  if (await start({ kind: 'section', ...source(), passing })) of = text;
}
$('section-start').addEventListener('click', guarded(() => work(false)));
$('round-start').addEventListener('click', guarded(() => start({ kind: 'section', ...source(), around: $('around').value })));

// Behind the network's answer: once the design has been left alone for a while.
// The notebook does not keep these.
let resting;
function follow() {
  clearTimeout(resting);
  if ($('section-follow').checked && state.text !== of) resting = setTimeout(() => guarded(work)(true), 1500);
}
on('answer', follow);
$('section-follow').addEventListener('change', follow);
on('design', () => $('section-out').replaceChildren());
