// Run time along one input, or over two.
import { $, guarded, make } from './dom.js';
import { home, start } from './jobs.js';
import { ends } from './search.js';
import { on, source, state } from './state.js';
import { onUnits } from './units.js';

const sides = ['first', 'second'];
let touched = false;

// options fills the choices of inputs; what is chosen stays if it is still there.
function options() {
  const controls = state.answer?.controls || [];
  if ($('view-vary').hidden || !controls.length) return;
  for (const side of sides) {
    const select = $(side + '-input');
    const before = select.value || (side === 'first' && !touched ? 'store.mass' : '');
    const names = controls.map((c) => make('option', { value: c.path, textContent: c.path }));
    if (side === 'second') names.unshift(make('option', { value: '', textContent: 'none' }));
    select.replaceChildren(...names);
    select.value = controls.some((c) => c.path === before) ? before : names[0].value;
    if (!touched) range(side);
  }
  shown();
}

function range(side) {
  const c = state.answer.controls.find((x) => x.path === $(side + '-input').value);
  const [from, to] = c ? ends(c) : ['', ''];
  $(side + '-from').value = from;
  $(side + '-to').value = to;
}

const shown = () => { $('second-range').hidden = !$('second-input').value; };

for (const side of sides) {
  $(side + '-input').addEventListener('change', () => {
    touched = true;
    range(side);
    shown();
  });
  for (const end of ['-from', '-to']) $(side + end).addEventListener('input', () => { touched = true; });
}
on('answer', options);
document.addEventListener('view', options);
on('design', () => {
  touched = false;
  $('second-input').value = '';
  $('vary-out').replaceChildren();
});
onUnits(() => {
  if (!touched) options(); // what was typed has its units beside it
});

home('vary', 'vary-out');
$('vary-form').addEventListener('submit', guarded(async (e) => {
  e.preventDefault();
  const vary = sides.filter((side) => $(side + '-input').value).map((side) => ({ path: $(side + '-input').value, from: $(side + '-from').value.trim(), to: $(side + '-to').value.trim() }));
  await start({ kind: 'vary', ...source(), vary, steps: Number($('vary-steps').value), samples: Number($('vary-samples').value) });
}));
