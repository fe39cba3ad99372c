// Small helpers over the document.
export const $ = (id) => document.getElementById(id);

export function make(tag, properties = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name.includes('-') || name === 'for' || name === 'scope') e.setAttribute(name, value);
    else e[name] = value;
  }
  e.append(...children);
  return e;
}

export function tell(error) {
  const box = $('alert');
  box.hidden = !error;
  if (!error) return;
  box.textContent = error.message + (error.right ? ' Right would be: ' + error.right + '.' : '');
  for (const m of error.mistakes || []) box.textContent += ` ${m.line ? `Line ${m.line}: ` : ''}${m.what}${m.right ? ' (right: ' + m.right + ')' : ''}.`;
  box.scrollIntoView({ block: 'nearest' });
}

// guarded runs what a control does and tells what went wrong.
export const guarded = (f) => async (...args) => {
  try {
    tell(null);
    return await f(...args);
  } catch (error) {
    tell(error);
  }
};

// picture shows an SVG in an image once it is ready, so that nothing flickers.
// Its own title and description are read out.
const waiting = new WeakMap();
export async function picture(image, svg) {
  if (!svg) {
    image.removeAttribute('src');
    return;
  }
  const turn = (waiting.get(image) || 0) + 1;
  waiting.set(image, turn);
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  const next = new Image();
  next.src = url;
  try {
    await next.decode();
  } catch { /* the browser shows its own sign */ }
  if (waiting.get(image) !== turn) {
    URL.revokeObjectURL(url);
    return;
  }
  if (image.src.startsWith('blob:')) URL.revokeObjectURL(image.src);
  image.src = url;
  reachable(image.parentElement);
  // Only the head of the picture is read for its words, since there is no time to lose.
  const head = svg.slice(0, svg.indexOf('</desc>') + 7) + '</svg>';
  const words = new DOMParser().parseFromString(head, 'image/svg+xml');
  image.alt = ['title', 'desc'].map((t) => words.querySelector('svg > ' + t)?.textContent || '').filter(Boolean).join('. ');
}

// drawing puts an SVG into the page itself, which takes half as long as an image:
// for what follows a slider. It carries its own title and description.
const parser = new DOMParser();
export function drawing(box, svg) {
  box.replaceChildren(document.importNode(parser.parseFromString(svg, 'image/svg+xml').documentElement, true));
  if (!box.hasAttribute('role')) reachable(box);
}

// On a narrow screen pictures scroll sideways, and so must be reached by keyboard.
const narrow = matchMedia('(max-width: 56rem)');
function reachable(box) {
  if (narrow.matches) {
    box.tabIndex = 0;
    box.setAttribute('role', 'group');
    box.setAttribute('aria-label', 'Picture, scrolls sideways');
  } else for (const a of ['tabindex', 'role', 'aria-label']) box.removeAttribute(a);
}
narrow.addEventListener('change', () => document.querySelectorAll('.picture:has(> img), #chart').forEach(reachable));

export function showCommand(place, line, unsaved) {
  const said = `${line} ${Boolean(unsaved)}`;
  if (place.dataset.said === said && place.firstChild) return; // asked for at each move of a slider
  place.dataset.said = said;
  place.replaceChildren();
  if (!line) return;
  const copy = make('button', { type: 'button', textContent: 'Copy' });
  copy.setAttribute('aria-label', 'Copy the command ' + line);
  copy.addEventListener('click', async () => {
    try {
      await navigator.clipboard.writeText(line);
      copy.textContent = 'Copied';
    } catch {
      copy.textContent = 'Select it and copy by hand';
    }
  });
  place.append('By command: ', make('code', { textContent: line }), copy);
  if (unsaved) place.append(' (of the file as saved; what the page shows is not saved yet)');
}
