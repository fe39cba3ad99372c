// Long work: shows how far it is, lets it be ended, and shows what came out. The
// work goes on when the page is closed; a page that is loaded again finds it.
import { ask, get, post } from './api.js';
import { $, make, tell } from './dom.js';
import { changed, on, state } from './state.js';
import { render } from './result.js';
import { chosenUnits, inUnits } from './units.js';

const running = new Map(); // place -> { id, events, found }
const homes = new Map(); // kind of job -> id of the place where it is shown

// home says where jobs of a kind are shown.
export const home = (kind, placeId) => homes.set(kind, placeId);

// leave makes room in a place. A job begun here ends with that; one that was only
// found may be of another window, and goes on.
function leave(place, end = true) {
  const r = running.get(place);
  if (!r) return;
  running.delete(place);
  r.events?.close();
  place.removeAttribute('aria-busy');
  place.replaceChildren();
  r.dropped = end && !r.found;
  if (r.dropped && r.id) ask('DELETE', 'api/jobs/' + r.id).catch(() => {});
}

// Another design is open: what is under way for the one before goes on, and is
// found under Results.
on('design', () => { for (const place of [...running.keys()]) leave(place, false); });

// start begins a job at its home and resolves with its result once that is
// shown; null when another took its place.
export function start(order) {
  const place = $(homes.get(order.kind));
  leave(place);
  return attend(place, async () => {
    const { id } = await post('api/jobs', order);
    changed('jobs');
    return id;
  });
}

// attend follows a job in a place, up to its result.
async function attend(place, begin, found = false) {
  const mine = { found };
  running.set(place, mine);
  const bar = make('progress', { max: 1 });
  bar.setAttribute('aria-label', 'Progress');
  const words = make('span', { role: 'status', textContent: ' beginning…' });
  const end = make('button', { type: 'button', textContent: 'End it' });
  place.replaceChildren(make('p', {}, bar, words, ' ', end));
  place.setAttribute('aria-busy', 'true');
  try {
    const id = await begin();
    if (running.get(place) !== mine) { // left before it had a number
      if (mine.dropped) ask('DELETE', 'api/jobs/' + id).catch(() => {});
      return null;
    }
    mine.id = id;
    end.addEventListener('click', () => ask('DELETE', 'api/jobs/' + id).catch(tell));
    const units = chosenUnits();
    let last = await follow(id, mine, (s) => {
      if (s.of > 0) {
        bar.max = s.of;
        bar.value = s.done;
      }
      const text = s.stage ? ` ${s.stage} ${s.done} of ${s.of}` : ' under way…';
      if (words.textContent !== text) words.textContent = text;
    });
    changed('jobs');
    if (units !== chosenUnits() && last.result) last = await get('api/jobs/' + id);
    if (running.get(place) !== mine) return null;
    place.replaceChildren();
    if (last.failed) throw Object.assign(new Error(last.failed.detail), last.failed);
    const result = { ...last.result, base: 'api/jobs/' + id };
    await render(place, result);
    return result;
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

// findAgain takes up the jobs under way that belong to the open design, such as
// after the page was loaded anew. The others are in the list of results.
export async function findAgain() {
  const { jobs } = await get('api/jobs');
  for (const j of jobs.filter((x) => !x.over && (!x.name || x.name === state.name)).reverse()) {
    const place = $(homes.get(j.kind));
    if (place && !running.has(place)) attend(place, () => j.id, true).catch(tell);
  }
}
