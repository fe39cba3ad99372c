// The frame of the page: views, settings, opening and saving of designs.
import { ask, designPath, get } from './api.js';
import { $, guarded, make, showCommand, tell } from './dom.js';
import { changed, on, state, unsaved } from './state.js';
import { chosenUnits, chooseUnits, setUnits } from './units.js';
import './design.js';
import './section.js';
import './body.js';
import './trials.js';
import './learn.js';
import './search.js';
import './vary.js';
import './results.js';
import { findAgain } from './jobs.js';

const views = ['design', 'section', 'body', 'vary', 'search', 'trials', 'learn', 'results'];

function route(event) {
  const view = views.includes(location.hash.slice(1)) ? location.hash.slice(1) : 'design';
  for (const v of views) $('view-' + v).hidden = v !== view;
  for (const a of document.querySelectorAll('nav a')) {
    if (a.hash === '#' + view) a.setAttribute('aria-current', 'page');
    else a.removeAttribute('aria-current');
  }
  document.title = $('h-' + view).textContent + ' – Meltspan';
  if (event) {
    tell(null);
    $('main').focus({ preventScroll: true });
    scrollTo(0, 0);
  }
  document.dispatchEvent(new CustomEvent('view', { detail: view }));
}
addEventListener('hashchange', route);
document.querySelector('.skip').addEventListener('click', (e) => {
  e.preventDefault();
  $('main').focus();
});

// Look: as the system has it, or as chosen.
const dark = matchMedia('(prefers-color-scheme: dark)');
function look() {
  const chosen = localStorage.getItem('theme') || '';
  document.documentElement.dataset.theme = chosen || (dark.matches ? 'dark' : 'light');
  $('theme').value = chosen;
  document.dispatchEvent(new Event('look'));
}
$('theme').addEventListener('change', () => {
  localStorage.setItem('theme', $('theme').value);
  look();
});
dark.addEventListener('change', look);
look();
$('units').addEventListener('change', () => chooseUnits($('units').value));

// Designs.
export async function project() {
  state.project = await get('api/project');
  setUnits(state.project.units);
  $('units').value = chosenUnits();
  $('folder').textContent = '· ' + state.project.folder;
  const fill = (select, chosen) => {
    const groups = [];
    if (state.project.designs.length) groups.push(make('optgroup', { label: 'In this project' }, ...state.project.designs.map((n) => make('option', { value: n, textContent: n }))));
    groups.push(make('optgroup', { label: 'Built in' }, ...state.project.examples.map((n) => make('option', { value: n, textContent: n }))));
    select.replaceChildren(...groups);
    if (chosen) select.value = chosen;
  };
  fill($('choose'), state.name);
  fill($('other'), $('other').value);
}

let from = null; // the file that the design was opened from, with its text then
function opened(d) {
  from = { name: d.name, text: d.text };
  showCommand($('made-command'), '');
  Object.assign(state, { made: null, name: d.name, text: d.text, savedText: d.text, revision: d.revision, example: d.example });
  $('choose').value = d.name;
  changed('design');
}

async function open(name) {
  if (unsaved() && !confirm('What you changed in ' + state.name + ' is not saved. Leave it?')) {
    $('choose').value = state.name;
    return;
  }
  opened(await get(designPath(name)));
  sessionStorage.setItem('open', name);
}
$('choose').addEventListener('change', guarded(() => open($('choose').value)));

// openText shows a design that is no file yet, such as one that was found, with
// the command that writes it. made says where it is had from.
export async function openText({ text, name: suggestion, command }, made) {
  if (unsaved() && !confirm('What you changed in ' + state.name + ' is not saved. Leave it?')) return false;
  from = null;
  Object.assign(state, { name: suggestion, text, savedText: '', revision: '', example: false, made: { ...made, text } });
  showCommand($('made-command'), command);
  if (![...$('choose').options].some((o) => o.value === suggestion)) $('choose').prepend(make('option', { value: suggestion, textContent: suggestion + ' (not saved)' }));
  $('choose').value = suggestion;
  changed('design');
  location.hash = '#design';
  return true;
}

async function put(name, headers) {
  const text = state.text;
  const made = state.made?.text === text ? state.made : null;
  const saved = await ask('PUT', designPath(name), { text, ...(from ? { from } : {}) }, headers);
  let command = saved.command;
  if (made) {
    try {
      command = (await get(`${made.base}/designs/${made.number}?file=${encodeURIComponent(name)}`)).command;
    } catch { /* it is no longer in memory: saved all the same */ }
  }
  showCommand($('made-command'), command);
  from = { name: saved.name, text };
  Object.assign(state, { made: null, name: saved.name, savedText: text, revision: saved.revision, example: false });
  sessionStorage.setItem('open', name);
  await project();
  changed('answer'); // the commands shown now mean the saved file
}

const over = (revision) => ({ 'If-Match': '"' + revision + '"' });

async function save() {
  if (state.example || !state.revision) return saveAs();
  try {
    await put(state.name, over(state.revision));
  } catch (problem) {
    if (problem.status !== 412) throw problem;
    await conflict(problem);
  }
}

async function conflict(problem) {
  $('conflict-text').textContent = problem.message + (problem.right ? ' Right would be: ' + problem.right + '.' : '');
  let theirs = null;
  try {
    theirs = await get(designPath(state.name));
  } catch { /* it is gone */ }
  $('conflict-theirs').textContent = theirs ? theirs.text : '(the file is gone)';
  const act = (f) => guarded(async () => {
    $('conflict').close();
    await f();
  });
  $('conflict-keep').onclick = () => $('conflict').close();
  $('conflict-other').onclick = act(() => saveAs());
  $('conflict-load').onclick = act(() => theirs && opened(theirs));
  $('conflict-load').disabled = !theirs;
  $('conflict-over').onclick = act(async () => {
    try {
      await put(state.name, theirs ? over(theirs.revision) : { 'If-None-Match': '*' });
    } catch (again) {
      if (again.status !== 412) throw again;
      await conflict(again); // changed once more meanwhile
    }
  });
  if (!$('conflict').open) $('conflict').showModal();
}

function saveAs() {
  $('name').value = state.example ? state.name.replace(/^demo:/, '') + '.yaml' : state.name;
  $('name-dialog').showModal();
  $('name').select();
}
$('name-cancel').addEventListener('click', () => $('name-dialog').close());
$('name-form').addEventListener('submit', guarded(async () => {
  let name = $('name').value.trim();
  if (name && !/\.ya?ml$/i.test(name)) name += '.yaml';
  await put(name, { 'If-None-Match': '*' });
}));
$('save').addEventListener('click', guarded(save));
$('save-as').addEventListener('click', saveAs);
addEventListener('keydown', (e) => {
  if ((e.ctrlKey || e.metaKey) && e.key === 's') {
    e.preventDefault();
    guarded(save)();
  }
});
addEventListener('beforeunload', (e) => { if (unsaved()) e.preventDefault(); });

function told() {
  $('saved').textContent = unsaved() ? 'not saved' : state.example ? 'built in; save it to have your own' : 'saved';
}
on('design', told);
on('answer', told);

guarded(async () => {
  await project();
  const last = sessionStorage.getItem('open');
  const name = [...state.project.designs, ...state.project.examples].includes(last) ? last : state.project.designs[0] || state.project.examples[0];
  opened(await get(designPath(name)));
  await findAgain();
})();
addEventListener('DOMContentLoaded', () => route());
if (document.readyState !== 'loading') route();
