// Frames of a section, to be scrubbed through.
import { get } from './api.js';
import { make, picture, tell } from './dom.js';

let at = null; // the share of the trial that was looked at last
let count = 0;

export function frames(result) {
  const id = 'scrub-' + ++count;
  const last = result.frames.length - 1;
  const slider = make('input', { type: 'range', id, min: 0, max: last, className: 'moment' });
  slider.value = Math.round((at ?? 1 / 3) * last);
  const time = make('output', { for: id });
  const images = result.views.map(() => make('img'));
  const kept = new Map();

  const fetched = (n, view) => {
    const path = `${result.base}/frames/${n}/${view}`;
    if (!kept.has(path)) {
      kept.set(path, get(path).then((blob) => blob.text()).catch((error) => {
        kept.delete(path);
        throw error;
      }));
    }
    return kept.get(path);
  };
  const show = async () => {
    const n = Number(slider.value);
    const f = result.frames[n];
    const words = f.words + (f.event ? ', ' + f.event : '');
    time.textContent = words;
    slider.setAttribute('aria-valuetext', words);
    at = last ? n / last : null;
    const drawn = await Promise.all(result.views.map((v) => fetched(n, v)));
    if (Number(slider.value) !== n) return;
    await Promise.all(images.map((image, i) => picture(image, drawn[i])));
    for (const k of [n + 1, n - 1]) if (result.frames[k]) fetched(k, result.views[0]).catch(() => {});
  };
  const scrubbed = () => show().catch(tell);
  slider.addEventListener('input', scrubbed);
  const step = (by, sign, words) => {
    const button = make('button', { type: 'button', textContent: sign, 'aria-label': words, className: by > 0 ? 'on' : 'back' });
    button.addEventListener('click', () => {
      slider.value = Number(slider.value) + by;
      scrubbed();
    });
    return button;
  };
  scrubbed();
  return make('div', { className: 'frames' },
    make('p', { className: 'scrub' }, make('label', { for: id, textContent: 'Moment' }), ' ', step(-1, '◀', 'Moment before'), ' ', slider, ' ', step(1, '▶', 'Moment after'), ' ', time),
    make('div', { className: 'columns wide' }, ...images.map((image) => make('div', { className: 'picture' }, image))));
}
