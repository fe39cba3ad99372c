// The designs that a search found: as points over print time or plastic, and as a
// table. Both open them.
import { make } from './dom.js';

export function front(result, open) {
  const heads = ['No.', 'Run time, lower end', 'Print time', 'Plastic', 'With', 'Open'].map((t) => make('th', { scope: 'col', textContent: t }));
  const rows = result.points.map((p) => {
    const b = make('button', { type: 'button', textContent: 'Open', 'aria-label': 'Open design ' + (p.number + 1) });
    b.addEventListener('click', () => open(p.number));
    return make('tr', {}, make('td', { className: 'number', textContent: p.number + 1 }), make('td', { textContent: p.run_time }), make('td', { textContent: (p.print_s / 3600).toFixed(1) + ' h' }),
      make('td', { textContent: (1000 * p.plastic_kg).toFixed(0) + ' g' }), make('td', { textContent: p.changes }), make('td', {}, b));
  });
  const table = make('table', { className: 'front-table' }, make('thead', {}, make('tr', {}, ...heads)), make('tbody', {}, ...rows));
  return make('div', { className: 'front' }, make('h2', { textContent: 'Designs found' }), plot(result, open),
    make('div', { className: 'scroll', tabIndex: 0, role: 'group', 'aria-label': 'Designs found' }, table));
}

// plot draws the front with points that open; the table says the same.
function plot(result, open) {
  const points = result.points;
  const ns = 'http://www.w3.org/2000/svg';
  const e = (tag, attributes, text) => {
    const x = document.createElementNS(ns, tag);
    for (const [k, v] of Object.entries(attributes)) x.setAttribute(k, v);
    if (text !== undefined) x.textContent = text;
    return x;
  };
  const byPlastic = (result.aims || []).includes('material');
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
      open(p.number);
    });
    svg.append(e('line', { x1: px(xs[i]), x2: px(xs[i]), y1: py(ys[i]), y2: py(tops[i]), stroke: '#56B4E9', 'stroke-width': 3 }));
    links.push(a);
  });
  svg.append(...links);
  return make('div', { className: 'picture front-plot' }, svg);
}
