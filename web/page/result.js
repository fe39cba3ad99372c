// What came out of long work, the same wherever it is shown: pictures, frames to
// be scrubbed through, designs to be opened, words, files, the command.
import { get, post } from './api.js';
import { guarded, make, picture, showCommand } from './dom.js';
import { frames } from './frames.js';
import { front } from './front.js';
import { openText } from './main.js';
import { changed, unsaved } from './state.js';
import { values } from './values.js';

// render puts a result into a place. result.base is where its parts are had from.
export async function render(place, result) {
  const parts = [];
  if (result.partial) parts.push(make('p', { className: 'muted', textContent: 'Ended early: this is what there was until then.' }));
  if (result.files) parts.push(make('p', {}, ...result.files.flatMap((f) => [make('a', { href: `${result.base}/files/${f}`, download: f, textContent: 'Save ' + f }), ' '])));
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
  showCommand(line, result.command, result.base.startsWith('api/jobs') && unsaved());
  parts.push(line, kept(result));
  place.append(...parts);
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
