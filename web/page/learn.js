// What trials teach, and which should come next.
import { get, post } from './api.js';
import { $, guarded, make, showCommand } from './dom.js';
import { home, start } from './jobs.js';
import { on, source, state } from './state.js';
import { trials } from './trials.js';

on('trials', () => {
  const chosen = ticked('learn-trials');
  const runs = trials.filter((t) => t.kind === 'run' && t.design);
  $('learn-trials').replaceChildren(...runs.map((t) => box(String(t.number), `${t.number} ${t.name}, ${t.design}, ${t.running ? 'running' : t.run_time}`, chosen)));
  if (!runs.length) $('learn-trials').textContent = 'There are no runs with a design in the notebook.';
});

const ticked = (id) => [...$(id).querySelectorAll('input:checked')].map((i) => i.value);
const box = (value, words, chosen) => make('label', { className: 'check' }, make('input', { type: 'checkbox', value, checked: chosen.includes(value) }), ' ' + words);

for (const kind of ['calibrate', 'weigh']) home(kind, 'calibrate-out');
$('calibrate').addEventListener('click', guarded(() => start({ kind: 'calibrate', ...source(), trials: ticked('learn-trials').map(Number) })));
$('weigh').addEventListener('click', guarded(() => start({ kind: 'weigh', name: '', text: '', trials: ticked('learn-trials').map(Number) })));

// Designs that could be printed next: the files of the project, and those that
// the notebook keeps, by revision.
async function candidates() {
  if ($('view-learn').hidden || !state.project) return;
  const { revisions } = await get('api/revisions');
  const chosen = ticked('next-files').concat(ticked('next-revisions'));
  const files = state.project.designs.filter((n) => n !== state.name);
  $('next-files').replaceChildren(...files.map((n) => box(n, n, chosen)));
  if (!files.length) $('next-files').textContent = 'There are no other design files in the project.';
  const others = revisions.filter((r) => r.revision !== state.answer?.revision);
  $('next-revisions').replaceChildren(...others.map((r) => box('revision:' + r.revision, `${r.name}, revision ${r.revision}, ${r.trials ? `${r.trials} ${r.trials === 1 ? 'trial' : 'trials'}` : 'no trial yet'}`, chosen)));
  if (!others.length) $('next-revisions').textContent = 'The notebook keeps no other design.';
}
document.addEventListener('view', guarded(candidates));
on('design', () => {
  $('next-out').replaceChildren();
  showCommand($('kept-revision'), '');
  guarded(candidates)();
});

home('next', 'next-out');
$('next').addEventListener('click', guarded(() =>
  start({ kind: 'next', ...source(), unprinted: $('unprinted').checked, others: ticked('next-files').concat(ticked('next-revisions')) })));
$('keep-revision').addEventListener('click', guarded(async () => {
  const kept = await post('api/revisions', source());
  showCommand($('kept-revision'), kept.command);
  $('kept-revision').prepend(`${kept.name} is kept as revision ${kept.revision}. `);
  await candidates();
}));
