// The search: what may vary, how it goes, and the front with designs to open.
import { get } from './api.js';
import { $, guarded, make } from './dom.js';
import { run, showResult } from './jobs.js';
import { openText } from './main.js';
import { on, source, state } from './state.js';
import { onUnits, show } from './units.js';

const usual = ['stand.cup.diameter', 'stand.wall.cavities', 'store.mass'];
let varied = null; // path -> [from, to], as typed
let touched = false; // by hand: then a change of the design leaves it as it is

function rows() {
  const controls = state.answer?.controls || [];
  if (!touched && controls.length) {
    varied = new Map();
    for (const c of controls.filter((x) => usual.includes(x.path))) varied.set(c.path, ends(c));
  }
  if (!varied) return;
  $('vary').tBodies[0].replaceChildren(...[...varied].map(([path, range]) => {
    const field = (i, word) => {
      const input = make('input', { value: range[i], autocomplete: 'off' });
      input.setAttribute('aria-label', `${path}, ${word}`);
      input.addEventListener('input', () => {
        touched = true;
        range[i] = input.value;
      });
      return input;
    };
    const drop = make('button', { type: 'button', textContent: 'Leave out' });
    drop.setAttribute('aria-label', 'Leave out ' + path);
    drop.addEventListener('click', () => {
      touched = true;
      varied.delete(path);
      rows();
    });
    return make('tr', {}, make('th', { scope: 'row', textContent: path }), make('td', {}, field(0, 'from')), make('td', {}, field(1, 'to')), make('td', {}, drop));
  }));
  $('vary-more').replaceChildren(make('option', { value: '', textContent: 'choose…' }), ...controls.filter((c) => !varied.has(c.path)).map((c) => make('option', { value: c.path, textContent: c.path })));
}

function ends(c) {
  if (c.count) return [String(Math.max(0, c.value - 1)), String(c.value + 2)];
  const near = c.kind === 'temperature' ? [c.value - 5, c.value + 5] : [Math.max(c.low, 0.9 * c.value), Math.min(c.high, 1.1 * c.value)];
  return near.map((v) => show(v, c.kind, c.step));
}
$('vary-more').addEventListener('change', () => {
  const c = state.answer.controls.find((x) => x.path === $('vary-more').value);
  touched = true;
  if (c) varied.set(c.path, ends(c));
  rows();
});
on('design', () => {
  [varied, touched] = [null, false];
  $('front').hidden = true;
  $('search-out').replaceChildren();
});
const seen = () => !$('view-search').hidden;
on('answer', () => seen() && rows()); // not while a slider moves elsewhere
document.addEventListener('view', () => seen() && rows());

$('search-form').addEventListener('submit', guarded(async (e) => {
  e.preventDefault();
  $('front').hidden = true;
  const hold = {};
  if ($('hold-dry').value.trim()) hold.dry_at = $('hold-dry').value.trim();
  if ($('hold-print').value.trim()) hold.print_time = $('hold-print').value.trim();
  const aims = ['run_time', $('aim').value].filter(Boolean);
  const result = await run('search-out', { kind: 'search', ...source(), vary: [...varied].map(([path, r]) => ({ path, from: r[0], to: r[1] })), hold, aims, candidates: Number($('candidates').value) });
  if (!result) return;
  showResult('search-out', result, { pictures: false, again: front }); // the plot below is the same picture, with points that open
  front(result);
}));

function front(result) {
  const points = result.points || [];
  $('front').hidden = points.length === 0;
  const open = guarded(async (p) => {
    const d = await get(`api/jobs/${result.job}/designs/${p.number}`);
    await openText(d.text, `found-${String(p.number + 1).padStart(2, '0')}.yaml`);
  });
  $('front-table').tBodies[0].replaceChildren(...points.map((p) => {
    const b = make('button', { type: 'button', textContent: 'Open' });
    b.setAttribute('aria-label', 'Open design ' + (p.number + 1));
    b.addEventListener('click', () => open(p));
    return make('tr', {}, make('td', { className: 'number', textContent: p.number + 1 }), make('td', { textContent: p.run_time }), make('td', { textContent: (p.print_s / 3600).toFixed(1) + ' h' }),
      make('td', { textContent: (1000 * p.plastic_kg).toFixed(0) + ' g' }), make('td', { textContent: p.changes }), make('td', {}, b));
  }));
  plot(points, open);
}

// plot draws the front with points that open; the table says the same.
function plot(points, open) {
  const ns = 'http://www.w3.org/2000/svg';
  const e = (tag, attributes, text) => {
    const x = document.createElementNS(ns, tag);
    for (const [k, v] of Object.entries(attributes)) x.setAttribute(k, v);
    if (text !== undefined) x.textContent = text;
    return x;
  };
  const byPlastic = $('aim').value === 'material';
  const xs = points.map((p) => (byPlastic ? 1000 * p.plastic_kg : p.print_s / 3600));
  const ys = points.map((p) => p.run_time_s / 3600);
  const tops = points.map((p) => (p.median_s ?? p.run_time_s) / 3600);
  const span = (v) => {
    const [a, b] = [Math.min(...v), Math.max(...v)];
    const pad = Math.max((b - a) * 0.15, 0.05 * Math.abs(b) || 0.1);
    return [a - pad, b + pad];
  };
  const [[x0, x1], [y0, y1]] = [span(xs), span([...ys, ...tops])];
  const [W, H, L, R, T, B] = [760, 380, 70, 20, 20, 55];
  const px = (x) => L + ((x - x0) / (x1 - x0)) * (W - L - R);
  const py = (y) => H - B - ((y - y0) / (y1 - y0)) * (H - T - B);
  const svg = e('svg', { viewBox: `0 0 ${W} ${H}`, role: 'group', 'aria-label': 'Run time over ' + (byPlastic ? 'plastic' : 'print time') + ' of the designs found' });
  const ticks = (a, b) => {
    const raw = (b - a) / 5;
    const unit = 10 ** Math.floor(Math.log10(raw));
    const step = unit * [1, 2, 5, 10].find((m) => m * unit >= raw);
    return Array.from({ length: Math.floor(b / step) - Math.ceil(a / step) + 1 }, (_, i) => (Math.ceil(a / step) + i) * step);
  };
  for (const t of ticks(x0, x1)) {
    svg.append(e('line', { x1: px(t), x2: px(t), y1: T, y2: H - B, stroke: '#e4e4e4' }), e('text', { x: px(t), y: H - B + 18, 'font-size': 13, 'text-anchor': 'middle', fill: '#444' }, String(Number(t.toFixed(3)))));
  }
  for (const t of ticks(y0, y1)) {
    svg.append(e('line', { x1: L, x2: W - R, y1: py(t), y2: py(t), stroke: '#e4e4e4' }), e('text', { x: L - 8, y: py(t) + 4, 'font-size': 13, 'text-anchor': 'end', fill: '#444' }, String(Number(t.toFixed(3)))));
  }
  svg.append(e('text', { x: (L + W - R) / 2, y: H - 12, 'font-size': 14, 'text-anchor': 'middle', fill: '#222' }, byPlastic ? 'plastic, estimated (g)' : 'print time, estimated (h)'));
  svg.append(e('text', { x: 18, y: (T + H - B) / 2, 'font-size': 14, 'text-anchor': 'middle', fill: '#222', transform: `rotate(-90 18 ${(T + H - B) / 2})` }, 'run time: lower end, line up to the median (h)'));
  const links = [];
  points.forEach((p, i) => {
    const a = e('a', { href: '#design', 'aria-label': `Open design ${p.number + 1}: ${p.run_time}, ${(p.print_s / 3600).toFixed(1)} h of print, ${(1000 * p.plastic_kg).toFixed(0)} g` });
    a.append(e('title', {}, `${p.number + 1}: ${p.changes}`), e('circle', { cx: px(xs[i]), cy: py(ys[i]), r: 12, fill: '#0072B2', stroke: '#fff', 'stroke-width': 2 }), e('text', { x: px(xs[i]), y: py(ys[i]) + 4, 'font-size': 12, 'text-anchor': 'middle', fill: '#fff', 'pointer-events': 'none' }, p.number + 1));
    a.addEventListener('click', (event) => {
      event.preventDefault();
      open(p);
    });
    svg.append(e('line', { x1: px(xs[i]), x2: px(xs[i]), y1: py(ys[i]), y2: py(tops[i]), stroke: '#56B4E9', 'stroke-width': 3 }));
    links.push(a);
  });
  svg.append(...links);
  $('front-plot').replaceChildren(svg);
}
onUnits(() => {
  if (touched) return; // what was typed has its units beside it
  varied = null;
  rows();
});
