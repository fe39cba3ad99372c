// What came out of long work, the same wherever it is shown: pictures, frames to
// be scrubbed through, designs to be opened, words, files, the command.
import { get, post } from './api.js';
import { guarded, make, picture, showCommand, tell } from './dom.js';
import { frames } from './frames.js';
import { front } from './front.js';
import { openText } from './main.js';
import { changed, unsaved } from './state.js';
import { asOption, chosenUnits, inUnits, onUnits } from './units.js';
import { values } from './values.js';

// render puts a result into a place, and shows it anew when other units are chosen.
// result.base is where it and its parts are had from.
const shown = new Map(); // box -> base
export async function render(place, result) {
  for (const old of shown.keys()) if (!old.isConnected) shown.delete(old);
  const box = make('div');
  fill(box, result);
  place.append(box);
  shown.set(box, result.base);
}

onUnits(() => {
  const units = chosenUnits();
  for (const [box, base] of shown) {
    if (box.isConnected) get(base).then((answer) => {
      if (units === chosenUnits()) fill(box, { ...(answer.result || answer), base });
    }).catch(tell);
  }
});

function fill(box, result) {
  const job = result.base.startsWith('api/jobs');
  const parts = [];
  if (result.partial) parts.push(make('p', { className: 'muted', textContent: 'Ended early: this is what there was until then.' }));
  if (result.files) {
    const links = result.files.flatMap((f) => [make('a', { href: inUnits(`${result.base}/files/${f}`), download: f, textContent: 'Save ' + f }), ' ']);
    parts.push(make('p', {}, ...links, job || !asOption() ? '' : 'in degC and mm, as they were kept'));
  }
  const open = guarded(async (number) => {
    const d = await get(`${result.base}/designs/${number}`);
    await openText(d, { base: result.base, number });
  });
  if (result.frames) parts.push(frames(result));
  // The points of a search are drawn here, so that they open.
  if (result.points?.length) parts.push(front(result, open));
  else for (const p of result.pictures || []) {
    const image = make('img');
    parts.push(make('div', { className: 'picture' }, image));
    picture(image, p.svg);
  }
  if (result.map) parts.push(values(result, open));
  if (result.text) {
    const pre = make('pre', { textContent: result.text, tabIndex: 0 });
    pre.setAttribute('aria-label', 'The answer in words');
    pre.setAttribute('role', 'group');
    parts.push(pre);
  }
  const line = make('p', { className: 'command' });
  showCommand(line, result.command, job && unsaved());
  parts.push(line, kept(result));
  box.replaceChildren(...parts);
}

// kept says whether the notebook has it, and lets it be kept where not.
function kept(result) {
  const line = make('p', { className: 'muted kept' });
  const say = () => { line.textContent = `Kept in the notebook as result ${result.kept}.`; };
  if (result.kept) {
    say();
    return line;
  }
  const button = make('button', { type: 'button', textContent: 'Keep it in the notebook' });
  button.addEventListener('click', guarded(async () => {
    result.kept = (await post(result.base + '/keep', {})).kept;
    say();
    changed('jobs');
  }));
  line.append(result.unkept ? `Not kept in the notebook: ${result.unkept} ` : 'In memory only: gone when the program stops. ', button);
  return line;
}
