// All that was worked out: what is under way, in whatever browser it was begun,
// and what the notebook keeps.
import { ask, get } from './api.js';
import { $, guarded, make, showCommand, tell } from './dom.js';
import { remove } from './remove.js';
import { render } from './result.js';
import { changed, on } from './state.js';

const names = { predict: 'band', compare: 'comparison', section: 'section', vary: 'run time along inputs', search: 'search', next: 'next trials', calibrate: 'calibration', weigh: 'comparison of trials', report: 'report' };
const when = (unix) => new Date(unix * 1000).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });
const visible = () => !$('view-results').hidden;

let timer;
async function look() {
  clearTimeout(timer);
  try {
    const { jobs } = await get('api/jobs');
    const live = jobs.filter((j) => !j.over);
    $('under-way-count').textContent = live.length ? `, ${live.length} under way` : '';
    if (visible()) {
      underWay(live);
      inMemory(jobs.filter((j) => j.over && !j.kept && !j.failed));
      if (live.length !== before) await kept();
      before = live.length;
    }
  } catch { /* told by whoever asks for something */ }
  timer = setTimeout(look, visible() ? 1000 : 5000);
}
let before = 0;

const rows = new Map(); // id -> row, kept so that a button keeps its focus
function underWay(live) {
  $('no-jobs').hidden = live.length > 0;
  for (const [id, row] of rows) {
    if (!live.some((j) => j.id === id)) {
      row.remove();
      rows.delete(id);
    }
  }
  for (const j of live) {
    if (!rows.has(j.id)) {
      const end = make('button', { type: 'button', textContent: 'End it', 'aria-label': `End it: ${names[j.kind]} of ${j.name}` });
      end.addEventListener('click', guarded(() => ask('DELETE', 'api/jobs/' + j.id)));
      const bar = make('progress', { max: 1, 'aria-label': `Progress of the ${names[j.kind]}` });
      rows.set(j.id, make('li', {}, make('span', { textContent: [names[j.kind], j.name, j.about].filter(Boolean).join(', ') + ' ' }), bar, make('span', { className: 'stage' }), ' ', end));
      $('jobs').append(rows.get(j.id));
    }
    const row = rows.get(j.id);
    const bar = row.querySelector('progress');
    [bar.max, bar.value] = [Math.max(1, j.of), j.done];
    row.querySelector('.stage').textContent = j.stage ? ` ${j.stage} ${j.done} of ${j.of}` : '';
  }
}

function inMemory(list) {
  $('memory').hidden = !list.length;
  const ids = list.map((j) => j.id).join();
  if ($('memory-list').dataset.ids === ids) return;
  $('memory-list').dataset.ids = ids;
  $('memory-list').replaceChildren(...list.reverse().map((j) => {
    const words = [names[j.kind], j.name, j.about].filter(Boolean).join(', ');
    const open = make('button', { type: 'button', textContent: 'Show', 'aria-label': 'Show the ' + words });
    open.addEventListener('click', guarded(async () => {
      const s = await get('api/jobs/' + j.id);
      await showIn(words, [], { ...s.result, base: 'api/jobs/' + j.id });
    }));
    return make('li', {}, words + ' ', open);
  }));
}

const most = 100;
let whole = false;
async function kept() {
  const all = await get('api/results');
  $('no-results').hidden = all.results.length > 0;
  $('no-results').textContent = all.notebook ? 'The notebook keeps no results yet.' : 'There is no notebook in this project yet: keep a trial or a result, and there will be one.';
  $('results').hidden = !all.results.length;
  $('older').hidden = whole || all.results.length <= most;
  $('results').tBodies[0].replaceChildren(...all.results.slice(0, whole ? undefined : most).map((r) => {
    const open = make('button', { type: 'button', textContent: 'Show', 'aria-label': `Show result ${r.number}, ${r.kind}` });
    open.addEventListener('click', guarded(() => showKept(r)));
    const what = r.kind + (r.updates > 1 ? `, update ${r.updates}` : '') + (r.partial ? ', ended early' : '');
    const about = [r.about, !r.about.includes('trial') && r.trials?.length ? `trial ${r.trials.join(', ')}` : ''].filter(Boolean).join('; ');
    return make('tr', {}, make('td', { className: 'number', textContent: r.number }), make('td', {}, open), make('td', { textContent: what }), make('td', { textContent: r.design || r.revision || '–' }),
      make('td', { textContent: about }), make('td', { className: 'when', textContent: when(r.made_unix_s) }));
  }));
  showCommand($('results-command'), all.command);
}

async function showKept(r) {
  const result = await get('api/results/' + r.number);
  const grounds = [`Worked out ${when(result.made_unix_s)}`, r.design ? `of ${r.design}` : '', result.revision ? `revision ${result.revision}` : '', `by ${result.code.split('\n').join(', ')}`].filter(Boolean).join(', ');
  const out = make('button', { type: 'button', textContent: 'Take this result out…' });
  out.addEventListener('click', guarded(async () => {
    const command = await remove('api/results/' + r.number, `Take out result ${r.number}`);
    if (!command) return;
    $('result').hidden = true;
    await kept();
    showCommand($('results-command'), command);
    $('h-results').focus();
  }));
  await showIn(`Result ${r.number}: ${r.kind}`, [make('p', { className: 'muted', textContent: grounds + '.' }), make('p', { className: 'remove' }, out)], { ...result, base: 'api/results/' + r.number });
}

async function showIn(title, head, result) {
  $('result').hidden = false;
  $('result-name').textContent = title;
  $('result-out').replaceChildren(...head);
  await render($('result-out'), result);
  $('result-name').focus();
  $('result-name').scrollIntoView({ block: 'start' });
}

$('older').addEventListener('click', guarded(() => {
  whole = true;
  return kept();
}));
document.addEventListener('view', (e) => {
  if (e.detail === 'results') kept().catch(tell);
  look();
});
on('jobs', () => {
  look();
  if (visible()) kept().catch(tell);
});
changed('jobs');
