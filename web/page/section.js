// The section view: frames of the fine section, to be scrubbed through.
import { guarded, $, picture, tell } from './dom.js';
import { run, showResult } from './jobs.js';
import { on, source, state } from './state.js';
import { inUnits, onUnits, show as inWords } from './units.js';

let frames = [];
let job = '';
let of = ''; // text that the frames belong to
const kept = new Map();

async function work() {
  const text = state.text;
  const result = await run('section-out', { kind: 'section', ...source() });
  if (!result) return;
  frames = result.frames;
  [job, of] = [result.job, text];
  kept.clear();
  $('section-frames').hidden = false;
  $('scrub').max = frames.length - 1;
  $('scrub').value = Math.min(Number($('scrub').value) || Math.floor(frames.length / 3), frames.length - 1);
  showResult('section-out', result);
  await show();
}

async function fetched(n, what) {
  const path = inUnits(`api/jobs/${job}/frames/${n}/${what}`);
  if (!kept.has(path)) {
    kept.set(path, fetch(path).then((a) => {
      if (!a.ok) throw new Error('The frame is no longer there; work the section out anew.');
      return a.text();
    }));
  }
  return kept.get(path);
}

async function show() {
  const n = Number($('scrub').value);
  const f = frames[n];
  if (!f) return;
  const words = f.words + (f.event ? ', ' + f.event : '');
  $('scrub-time').textContent = words;
  $('scrub').setAttribute('aria-valuetext', words);
  const [inside, outside] = await Promise.all([fetched(n, 'section'), fetched(n, 'outside')]);
  if (Number($('scrub').value) !== n) return;
  await Promise.all([picture($('frame'), inside), picture($('outside'), outside)]);
  for (const k of [n + 1, n - 1]) if (frames[k]) fetched(k, 'section').catch(() => {});
}

const scrubbed = () => show().catch(tell);
$('scrub').addEventListener('input', scrubbed);
const grid = () => { $('section-grid').textContent = inWords(1e-3, 'length'); };
on('answer', grid); // by then the units are known
onUnits(() => {
  grid();
  if (frames.length) scrubbed();
});
const by = (d) => () => {
  $('scrub').value = Number($('scrub').value) + d;
  scrubbed();
};
$('scrub-back').addEventListener('click', by(-1));
$('scrub-on').addEventListener('click', by(1));
$('section-start').addEventListener('click', guarded(work));

// Behind the network's answer: once the design has been left alone for a while.
let resting;
function follow() {
  clearTimeout(resting);
  if ($('section-follow').checked && state.text !== of) resting = setTimeout(() => guarded(work)(), 1500);
}
on('answer', follow);
$('section-follow').addEventListener('change', follow);
on('design', () => {
  $('section-frames').hidden = true;
  $('section-out').replaceChildren();
  frames = [];
});
