// The notebook: trials in a table, one shown, one followed while it runs, and
// new ones kept.
import { get, post, ask } from './api.js';
import { $, guarded, make, picture, showCommand } from './dom.js';
import { remove } from './remove.js';
import { changed, state, unsaved } from './state.js';
import { inUnits, onUnits, show } from './units.js';

export let trials = [];
let number = 0;
let events = null;

export async function load() {
  const all = await get('api/trials');
  trials = all.trials;
  $('no-trials').hidden = trials.length > 0;
  $('trials').hidden = trials.length === 0;
  $('trials').tBodies[0].replaceChildren(...trials.map((t) => {
    const open = make('button', { type: 'button', textContent: t.running ? 'Follow' : 'Show' });
    open.setAttribute('aria-label', `${open.textContent} ${t.name}`);
    open.addEventListener('click', guarded(() => showTrial(t.number)));
    return make('tr', {}, make('td', { className: 'number', textContent: t.number }), make('td', { textContent: t.name + (t.kind === 'run' ? '' : ` (${t.kind})`) }), make('td', { textContent: t.design || '–' }),
      make('td', { textContent: t.start }), make('td', { textContent: t.running ? 'running' : t.run_time }), make('td', { className: 'number', textContent: t.readings }), make('td', {}, open));
  }));
  showCommand($('trials-command'), all.command);
  changed('trials');
}

async function showTrial(n, quietly) {
  const t = await get('api/trials/' + n);
  number = n;
  $('trial').hidden = false;
  $('trial-name').textContent = t.name;
  $('trial-text').textContent = t.text;
  await picture($('trial-picture'), t.picture);
  showCommand($('trial-command'), t.command);
  if (quietly) return;
  $('trial-name').focus();
  follow(n);
}

// follow streams a running trial. The browser comes back by itself when the
// connection is lost, and gets what it missed.
function follow(n) {
  events?.close();
  events = null;
  $('live').hidden = true;
  if (!trials.find((t) => t.number === n)?.running) return;
  $('live').hidden = false;
  $('live-stall').textContent = 'Working out when it will stall…';
  $('live-text').textContent = '';
  $('live-readings').textContent = '';
  $('live-picture').removeAttribute('src');
  const known = $('live-known').value ? '?learned=' + $('live-known').value : '';
  events = new EventSource(inUnits(`api/trials/${n}/watch${known}`));
  events.addEventListener('error', () => {
    if (events?.readyState === EventSource.CLOSED) $('live-stall').textContent = known ? 'There is no calibration on other trials in the notebook yet: see Learn.' : 'The trial cannot be followed.';
  });
  const last = new Map();
  events.addEventListener('readings', (e) => {
    for (const s of JSON.parse(e.data)) last.set(s.name, s);
    $('live-readings').textContent = 'Now: ' + [...last.values()].map((s) => `${s.name} ${s.last[1] === null ? 'no value' : show(s.last[1], s.kind, s.kind === 'temperature' ? 0.1 : undefined)}`).join(', ') + '.';
    redraw();
  });
  events.addEventListener('forecast', async (e) => {
    const f = JSON.parse(e.data);
    // To five minutes: a forecast knows no better.
    const h = (s) => {
      const minutes = f.stalled ? Math.round(s / 60) : 5 * Math.round(s / 300);
      if (s === null) return 'not known';
      return [minutes >= 60 ? `${Math.floor(minutes / 60)} h` : '', minutes % 60 || minutes < 60 ? `${minutes % 60} min` : ''].filter(Boolean).join(' ');
    };
    $('live-stall').textContent = f.stalled ? 'It has stalled after ' + h(f.stall_s.median) + '.' : `Stalls after ${h(f.stall_s.median)}, between ${h(f.stall_s.low)} and ${h(f.stall_s.high)} with 90 % probability.`;
    $('live-text').textContent = f.text;
    showCommand($('live-command'), f.command);
    const answer = await fetch(inUnits(`api/trials/${n}/forecast.svg${known}`));
    if (answer.ok) picture($('live-picture'), await answer.text());
  });
  events.addEventListener('forecast-failed', (e) => { $('live-stall').textContent = 'No forecast: ' + JSON.parse(e.data).detail; });
  events.addEventListener('trial', guarded(async (e) => {
    redraw();
    if (!JSON.parse(e.data).running) await load();
  }));
  events.addEventListener('trouble', (e) => { $('live-readings').textContent = JSON.parse(e.data).detail; });
}

$('live-known').addEventListener('change', () => follow(number));
onUnits(guarded(async () => {
  if (!number || $('trial').hidden) return;
  await showTrial(number, true);
  if (events) follow(number);
}));

let drawing;
function redraw() {
  if (drawing) return;
  drawing = setTimeout(() => {
    drawing = null;
    showTrial(number, true).catch(() => {});
  }, 3000);
}
document.addEventListener('view', guarded(async (e) => {
  if (e.detail === 'trials' || e.detail === 'learn') await load();
  if (e.detail !== 'trials') {
    events?.close();
    events = null;
  } else if (number && !$('trial').hidden) follow(number);
}));

$('examples').addEventListener('click', guarded(async () => {
  const { command } = await post('api/trials/examples', {});
  await load();
  showCommand($('trials-command'), command);
}));

$('event-form').addEventListener('submit', guarded(async (e) => {
  e.preventDefault();
  const { command } = await post(`api/trials/${number}/events`, { kind: $('event-kind').value, when: $('event-when').value });
  $('event-when').value = '';
  await load();
  await showTrial(number, true);
  showCommand($('trial-command'), command);
}));

$('trial-remove').addEventListener('click', guarded(async () => {
  const command = await remove('api/trials/' + number, `Take out trial ${number}, ${$('trial-name').textContent}`);
  if (!command) return;
  events?.close();
  events = null;
  number = 0;
  $('trial').hidden = true;
  await load();
  showCommand($('trials-command'), command);
  $('h-trials').focus();
}));

$('import').addEventListener('submit', guarded(async (e) => {
  e.preventDefault();
  const form = new FormData($('import'));
  const file = $('log').files[0];
  if (!file) form.delete('log');
  const dry = e.submitter?.value === 'dry';
  if (dry) form.set('dry', '1');
  form.set('design', state.name);
  form.set('text', state.text);
  const out = await ask('POST', 'api/trials', form);
  const box = $('import-out');
  box.hidden = false;
  const lines = [];
  if (out.columns) {
    lines.push(`${out.rows} rows; time: ${out.time.form}${out.time.assumed ? ' (' + out.time.assumed + ')' : ''}`);
    for (const c of out.columns) lines.push(`${c.name}: ${c.quantity}${c.unit ? ', ' + c.unit : ''}${c.place ? ', ' + c.place : ''}${c.assumed ? ' (' + c.assumed + ')' : ''}`);
    for (const v of out.events || []) lines.push(`found: ${v.kind} after ${Math.round(v.time_s / 60)} min (${v.source})`);
    if (out.unread) lines.push(`${out.unread} rows have no time that can be read; they are not kept as readings, the log itself is`);
  }
  lines.push(dry ? 'Nothing is kept yet.' : `Kept as trial ${out.number}.`);
  box.textContent = lines.join('\n');
  showCommand($('trials-command'), out.command, unsaved());
  if (!dry) {
    $('import').reset();
    await load();
    showCommand($('trials-command'), out.command, unsaved());
    await showTrial(out.number);
  }
}));
