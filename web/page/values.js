// Run time over the values of one input, or of two, as a table whose cells open
// as designs. The picture beside it shows the same.
import { make } from './dom.js';

const cell = (tag, text, properties = {}) => make(tag, { textContent: text, ...properties });

export function values(result, open) {
  const { axes, cells } = result.map;
  const button = (n, text, words) => {
    const b = make('button', { type: 'button', textContent: text, 'aria-label': `Open ${words}` });
    b.addEventListener('click', () => open(n));
    return b;
  };
  const table = axes.length === 1 ? list(axes[0], cells, button) : grid(axes, cells, button);
  const box = make('div', { className: 'scroll', tabIndex: 0, role: 'group', 'aria-label': 'Run time at each value' }, table);
  return make('div', { className: 'values' }, make('h2', { textContent: 'Designs at these values' }), box);
}

const marks = (c) => [c.longest ? 'longest median' : '', c.safest ? 'longest lower end' : ''].filter(Boolean).join(', ');

function list(axis, cells, button) {
  const rows = cells.map((c, i) => {
    const label = axis.labels[i] + (i === axis.now ? ' (now)' : '');
    if (c.impossible) return make('tr', {}, cell('th', label, { scope: 'row' }), cell('td', c.impossible, { colSpan: 5 }));
    return make('tr', {}, cell('th', label, { scope: 'row' }), cell('td', c.median || '–'), cell('td', c.median ? `${c.low} to ${c.high}` : '–'), cell('td', c.early || '–'), cell('td', marks(c)),
      make('td', {}, button(i, 'Open', `${axis.path} ${axis.labels[i]}`)));
  });
  const heads = [axis.path, 'Run time, median', 'Band of 90 %', 'Early stall', '', 'Open'].map((t) => (t ? cell('th', t, { scope: 'col' }) : make('td')));
  return make('table', {}, make('thead', {}, make('tr', {}, ...heads)), make('tbody', {}, ...rows));
}

function grid([down, across], cells, button) {
  const wide = across.labels.length;
  const rows = down.labels.map((label, i) => make('tr', {}, cell('th', label + (i === down.now ? ' (now)' : ''), { scope: 'row' }),
    ...across.labels.map((other, k) => {
      const c = cells[i * wide + k];
      const at = `${down.path} ${label}, ${across.path} ${other}`;
      if (c.impossible) return make('td', {}, make('abbr', { title: c.impossible, textContent: 'none' }));
      const td = make('td', {}, button(i * wide + k, c.median || '–', `${at}: median ${c.median || 'not known'}, ${c.low} to ${c.high}, early stall ${c.early}`));
      if (marks(c)) td.append(make('small', { textContent: marks(c) }));
      return td;
    })));
  const head = make('tr', {}, cell('th', `${down.path}, and across ${across.path}`, { scope: 'col' }), ...across.labels.map((l, k) => cell('th', l + (k === across.now ? ' (now)' : ''), { scope: 'col' })));
  return make('table', { className: 'grid-map' }, make('thead', {}, head), make('tbody', {}, ...rows.reverse())); // rising upwards, as on the picture
}
