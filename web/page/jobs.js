// Long work: shows how far it is, lets it be ended, and shows what came out.
import { ask, get, post } from './api.js';
import { $, make, picture, showCommand, tell } from './dom.js';
import { unsaved } from './state.js';
import { inUnits, onUnits } from './units.js';

const running = new Map(); // place -> { id, events }

export function endJob(place) {
  const r = running.get(place);
  if (!r) return;
  running.delete(place);
  r.events?.close();
  if (r.id) ask('DELETE', 'api/jobs/' + r.id).catch(() => {});
}

// run starts a job and resolves with its result; null when another took its place.
export async function run(placeId, order) {
  const place = $(placeId);
  endJob(place);
  const mine = {};
  running.set(place, mine);
  const bar = make('progress', { max: 1 });
  bar.setAttribute('aria-label', 'Progress');
  const words = make('span', { role: 'status', textContent: ' beginning…' });
  const end = make('button', { type: 'button', textContent: 'End it' });
  place.replaceChildren(make('p', {}, bar, words, ' ', end));
  place.setAttribute('aria-busy', 'true');
  try {
    const { id } = await post('api/jobs', order);
    if (running.get(place) !== mine) {
      ask('DELETE', 'api/jobs/' + id).catch(() => {});
      return null;
    }
    mine.id = id;
    end.addEventListener('click', () => ask('DELETE', 'api/jobs/' + id).catch(tell));
    const last = await follow(id, mine, (s) => {
      if (s.of > 0) {
        bar.max = s.of;
        bar.value = s.done;
      }
      const text = s.stage ? ` ${s.stage} ${s.done} of ${s.of}` : '';
      if (words.textContent !== text) words.textContent = text;
    });
    if (!last || running.get(place) !== mine) return null;
    place.replaceChildren();
    if (last.failed) throw Object.assign(new Error(last.failed.detail), last.failed);
    if (last.result.partial) place.append(make('p', { className: 'muted', textContent: 'Ended early: this is what there was until then.' }));
    last.result.job = id;
    return last.result;
  } catch (error) {
    if (running.get(place) === mine) place.replaceChildren();
    throw error;
  } finally {
    if (running.get(place) === mine) {
      running.delete(place);
      place.removeAttribute('aria-busy');
    }
  }
}

function follow(id, mine, each) {
  return new Promise((resolve) => {
    const events = new EventSource(inUnits(`api/jobs/${id}/events`));
    mine.events = events;
    events.addEventListener('state', (e) => {
      const s = JSON.parse(e.data);
      if (s.over) {
        events.close();
        resolve(s);
      } else each(s);
    });
    events.addEventListener('error', () => {
      if (events.readyState === EventSource.CLOSED) resolve({ failed: { detail: 'The program does not answer any more.' } });
    });
  });
}

// showResult lays out pictures, words and the command of a result, and does so again
// when other units are chosen; again is told then.
const shown = new Map(); // box -> { job, options }
export function showResult(placeId, result, options = {}) {
  const box = make('div');
  $(placeId).append(box);
  fill(box, result, options);
  if (result.job) shown.set(box, { job: result.job, options });
}

onUnits(() => {
  for (const [box, { job, options }] of shown) {
    if (!box.isConnected) shown.delete(box);
    else get('api/jobs/' + job).then(({ result }) => {
      result.job = job;
      fill(box, result, options);
      options.again?.(result);
    }).catch(tell);
  }
});

function fill(place, result, { text = true, pictures = true }) {
  place.replaceChildren();
  if (result.files) place.append(make('p', {}, ...result.files.flatMap((f) => [make('a', { href: inUnits(`api/jobs/${result.job}/files/${f}`), download: f, textContent: 'Save ' + f }), ' '])));
  for (const p of (pictures && result.pictures) || []) {
    const image = make('img');
    place.append(make('div', { className: 'picture' }, image));
    picture(image, p.svg);
  }
  if (text && result.text) {
    const pre = make('pre', { textContent: result.text, tabIndex: 0 });
    pre.setAttribute('aria-label', 'The answer in words');
    pre.setAttribute('role', 'group');
    place.append(pre);
  }
  const line = make('p', { className: 'command' });
  showCommand(line, result.command, unsaved());
  place.append(line);
}
