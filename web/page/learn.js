// What trials teach, and which should come next.
import { $, guarded, make } from './dom.js';
import { run, showResult } from './jobs.js';
import { on, source } from './state.js';
import { trials } from './trials.js';

on('trials', () => {
  const chosen = new Set([...$('learn-trials').querySelectorAll('input:checked')].map((i) => i.value));
  const runs = trials.filter((t) => t.kind === 'run' && t.design);
  $('learn-trials').replaceChildren(...runs.map((t) => {
    const box = make('input', { type: 'checkbox', value: String(t.number), checked: chosen.has(String(t.number)) });
    return make('label', { className: 'check' }, box, ` ${t.number} ${t.name}, ${t.design}, ${t.running ? 'running' : t.run_time}`);
  }));
  if (!runs.length) $('learn-trials').textContent = 'There are no runs with a design in the notebook.';
});

$('calibrate').addEventListener('click', guarded(async () => {
  const list = [...$('learn-trials').querySelectorAll('input:checked')].map((i) => Number(i.value));
  const result = await run('calibrate-out', { kind: 'calibrate', ...source(), trials: list });
  if (!result) return;
  $('calibrate-out').append(make('p', { textContent: `Kept in the notebook as result ${result.kept}.` }));
  showResult('calibrate-out', result);
}));

$('weigh').addEventListener('click', guarded(async () => {
  const list = [...$('learn-trials').querySelectorAll('input:checked')].map((i) => Number(i.value));
  const result = await run('calibrate-out', { kind: 'weigh', name: '', text: '', trials: list });
  if (result) showResult('calibrate-out', result);
}));

$('next').addEventListener('click', guarded(async () => {
  const result = await run('next-out', { kind: 'next', ...source(), unprinted: $('unprinted').checked });
  if (result) showResult('next-out', result);
}));
on('design', () => { $('next-out').replaceChildren(); });
