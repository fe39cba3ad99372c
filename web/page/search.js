// The search: what may vary, and within what it must hold.
import { post } from './api.js';
import { $, guarded, make, tell } from './dom.js';
import { home, start } from './jobs.js';
import { on, source, state } from './state.js';
import { onUnits, show } from './units.js';

const usual = ['stand.cup.diameter', 'stand.wall.cavities', 'store.mass'];
let varied = null; // path -> [from, to], as typed
let chosen = new Map(); // path -> set of words
let more = { words: [], sizes: [] }; // what the program offers beyond the sliders
let touched = false; // by hand: then a change of the design leaves it as it is

const offered = () => [...(state.answer?.controls || []), ...more.sizes];

function rows() {
  const controls = offered();
  if (!touched && controls.length) {
    varied = new Map();
    for (const c of controls.filter((x) => usual.includes(x.path))) varied.set(c.path, ends(c));
  }
  if (!varied) return;
  $('vary').tBodies[0].replaceChildren(...[...varied].map(([path, range]) => {
    const field = (i, word) => {
      const input = make('input', { value: range[i], autocomplete: 'off', 'aria-label': `${path}, ${word}` });
      input.addEventListener('input', () => {
        touched = true;
        range[i] = input.value;
      });
      return input;
    };
    return make('tr', {}, make('th', { scope: 'row', textContent: path }), make('td', {}, field(0, 'from')), make('td', {}, field(1, 'to')), make('td', {}, dropper(path, varied)));
  }));
  $('choices').replaceChildren(...[...chosen].map(([path, words]) => choices(path, words)));
  $('vary-more').replaceChildren(make('option', { value: '', textContent: 'choose…' }), ...controls.filter((c) => !varied.has(c.path)).map((c) => make('option', { value: c.path, textContent: c.path })));
  $('word-more').replaceChildren(make('option', { value: '', textContent: 'choose…' }), ...more.words.filter((w) => !chosen.has(w.path)).map((w) => make('option', { value: w.path, textContent: w.path })));
}

function dropper(path, from) {
  const drop = make('button', { type: 'button', textContent: 'Leave out', 'aria-label': 'Leave out ' + path });
  drop.addEventListener('click', () => {
    touched = true;
    from.delete(path);
    rows();
    $(from === chosen ? 'word-more' : 'vary-more').focus();
  });
  return drop;
}

// choices are the words of a key, to be ticked.
function choices(path, words) {
  const w = more.words.find((x) => x.path === path);
  const boxes = w.allowed.map((word) => {
    const box = make('input', { type: 'checkbox', value: word, checked: words.has(word) });
    box.addEventListener('change', () => {
      touched = true;
      if (box.checked) words.add(word);
      else words.delete(word);
    });
    return make('label', { className: 'check' }, box, ' ' + word + (word === w.now ? ' (now)' : ''));
  });
  const set = make('fieldset', {}, make('legend', { textContent: path + ', among' }), make('p', { className: 'muted', textContent: w.about }), ...boxes, make('p', {}, dropper(path, chosen)));
  set.dataset.path = path;
  return set;
}

export function ends(c) {
  if (c.count) return [String(Math.max(0, c.value - 1)), String(c.value + 2)];
  const near = c.kind === 'temperature' ? [c.value - 5, c.value + 5] : [Math.max(c.low, 0.9 * c.value), Math.min(c.high, 1.1 * c.value)];
  return near.map((v) => show(v, c.kind, c.step));
}

$('vary-more').addEventListener('change', () => {
  const c = offered().find((x) => x.path === $('vary-more').value);
  touched = true;
  if (c) varied.set(c.path, ends(c));
  rows();
  $('vary-more').focus();
});
$('word-more').addEventListener('change', () => {
  const w = more.words.find((x) => x.path === $('word-more').value);
  touched = true;
  if (w) chosen.set(w.path, new Set(w.now ? [w.now] : []));
  rows();
  $('choices').querySelector(`[data-path="${w?.path}"] input`)?.focus();
});

let of = null; // text that `more` belongs to
async function look() {
  if ($('view-search').hidden) return;
  rows();
  if (of === state.text || !state.text) return;
  const text = state.text;
  try {
    more = await post('api/searchable', source());
    of = text;
    for (const path of [...chosen.keys()]) if (!more.words.some((w) => w.path === path)) chosen.delete(path);
    rows();
  } catch (problem) {
    if (!problem.mistakes) tell(problem); // mistakes are told beside the text
  }
}
on('design', () => {
  [varied, chosen, touched] = [null, new Map(), false];
  $('search-out').replaceChildren();
});
on('answer', look); // not while a slider moves elsewhere
document.addEventListener('view', look);
onUnits(() => {
  if (touched) return; // what was typed has its units beside it
  varied = null;
  rows();
});

home('search', 'search-out');
$('search-form').addEventListener('submit', guarded(async (e) => {
  e.preventDefault();
  const hold = {};
  if ($('hold-dry').value.trim()) hold.dry_at = $('hold-dry').value.trim();
  if ($('hold-print').value.trim()) hold.print_time = $('hold-print').value.trim();
  await start({
    kind: 'search', ...source(), hold, aims: ['run_time', $('aim').value].filter(Boolean), candidates: Number($('candidates').value),
    vary: [...(varied || [])].map(([path, r]) => ({ path, from: r[0], to: r[1] })), choose: [...chosen].map(([path, words]) => ({ path, words: [...words] })),
  });
}));
