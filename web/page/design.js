// The design view: text, sliders, and the answer that follows them.
import { post } from './api.js';
import { $, drawing, guarded, make, picture, showCommand, tell } from './dom.js';
import { home, start } from './jobs.js';
import { changed, on, source, state, unsaved } from './state.js';
import { asOption, onUnits, show } from './units.js';

const text = $('text');
const ranges = new Map(); // path -> control as first offered: a slider keeps its ends while it moves
let shown = []; // paths of the sliders that are there
let busy = false;
let waiting = null;

// ask for an answer; while one is on its way, only the last wish waits. While a
// slider moves the answer is brief, and the rest follows once it is left alone.
let settling;
async function answer(turn) {
  clearTimeout(settling);
  if (busy) {
    waiting = { turn };
    return;
  }
  busy = true;
  const sent = state.text;
  try {
    const a = await post('api/answer', { ...source(), ...(turn ? { turn, brief: state.answer !== null } : {}) });
    if (state.text === sent) {
      mistakes([]);
      if (turn && a.text !== state.text) {
        state.text = a.text;
        if (text.value !== a.text) text.value = a.text;
        if (a.text.split('\n').length !== numbered) gutter(new Set());
      }
      if (a.values) {
        a.controls = state.answer.controls.filter((c) => c.path in a.values).map((c) => ({ ...c, value: a.values[c.path] }));
        settling = setTimeout(answer, 200);
      }
      state.answer = a;
      await render(a);
      changed('answer');
    }
  } catch (problem) {
    if (problem.mistakes) mistakes(problem.mistakes);
    else tell(problem);
    if (turn) sliders(); // back to what the text says
  } finally {
    busy = false;
    if (waiting) {
      const next = waiting;
      waiting = null;
      answer(next.turn);
    }
  }
}

async function render(a) {
  drawing($('chart'), a.chart); // first, since it is looked at while a slider moves
  $('run-time').textContent = a.run_time;
  $('run-more').textContent = [
    a.end, a.last_ice ? 'last of the store melted after ' + a.last_ice : '',
    a.mean_difference_K ? 'mean plate difference ' + show(a.mean_difference_K, 'temperature difference') : '',
    a.mean_store_heat_W ? 'heat into the store ' + show(Math.abs(a.mean_store_heat_W), 'power') : '',
    a.condensate_kg > 5e-5 ? 'condensate ' + show(a.condensate_kg, 'mass') : 'stays dry',
    ...(a.warnings || []),
  ].filter(Boolean).join('; ') + '.';
  sliders();
  if (!a.values) await picture($('flow'), a.heat_flow);
}

let told = false; // of mistakes
function mistakes(list) {
  if (!list.length && !told) return;
  told = list.length > 0;
  $('mistakes').replaceChildren(...list.map((m) => {
    const go = make('button', { type: 'button', textContent: m.line ? `Line ${m.line}` : 'The text' });
    go.addEventListener('click', () => toLine(m.line, m.column));
    return make('li', {}, go, ': ' + m.what + (m.right ? '. Right: ' + m.right : '') + '.');
  }));
  text.setAttribute('aria-invalid', list.length > 0);
  gutter(new Set(list.map((m) => m.line)));
  if (list.length) $('run-more').textContent = 'The text has a mistake; the answer is that of the text before.';
}

function toLine(line, column) {
  const lines = text.value.split('\n');
  const at = lines.slice(0, Math.max(0, line - 1)).reduce((n, l) => n + l.length + 1, 0) + Math.max(0, column - 1);
  text.focus();
  text.setSelectionRange(at, at);
  text.scrollTop = (line - 4) * (text.scrollHeight / lines.length);
}

let numbered = 0; // lines
function gutter(bad) {
  const count = text.value.split('\n').length;
  numbered = count;
  $('gutter').replaceChildren(...Array.from({ length: count }, (_, i) =>
    make('span', { className: bad.has(i + 1) ? 'at' : '', textContent: (bad.has(i + 1) ? '! ' : '') + (i + 1) + '\n' })));
}
text.addEventListener('scroll', () => { $('gutter').scrollTop = text.scrollTop; });

on('answer', () => showCommand($('design-command'), 'meltspan predict ' + (state.name === 'demo:engine-on-ice' ? 'demo' : state.name) + ' --pictures pictures' + asOption(), unsaved()));

let typing;
text.addEventListener('input', () => {
  state.text = text.value;
  if (state.text.split('\n').length !== numbered) gutter(new Set());
  changed('answer');
  clearTimeout(typing);
  typing = setTimeout(() => answer(), 150);
});

// Sliders. Their numbers are SI; what is shown is in the chosen units.
function sliders() {
  const controls = new Map((state.answer?.controls || []).map((c) => [c.path, c]));
  for (const [path, c] of controls) {
    const r = ranges.get(path);
    if (!r || c.value < r.low || c.value > r.high) ranges.set(path, c);
  }
  const wanted = [...controls.values()].filter((c) => c.common || shown.includes(c.path)).map((c) => c.path);
  if (wanted.join() !== [...$('sliders').children].map((e) => e.dataset.path).join()) build(wanted);
  for (const row of $('sliders').children) {
    const c = controls.get(row.dataset.path);
    const r = ranges.get(c.path);
    const input = row.querySelector('input');
    if (document.activeElement !== input || Math.abs(input.value - c.value) > r.step) {
      [input.min, input.max, input.step] = [r.low, r.high, 'any'];
      input.value = c.value;
    }
    name(row, c, r);
  }
  const others = [...controls.values()].filter((c) => !wanted.includes(c.path));
  if ($('more-inputs').options.length !== others.length + 1) {
    $('more-inputs').replaceChildren(make('option', { value: '', textContent: 'choose…' }), ...others.map((c) => make('option', { value: c.path, textContent: c.path })));
  }
}

function name(row, c, r) {
  const words = c.count ? String(c.value) : show(c.value, c.kind, r.step);
  row.querySelector('output').textContent = words;
  row.querySelector('input').setAttribute('aria-valuetext', words);
}

function build(paths) {
  $('sliders').replaceChildren(...paths.map((path) => {
    const c = ranges.get(path);
    const id = 'input-' + path.replaceAll('.', '-');
    const input = make('input', { type: 'range', id });
    const output = make('output', { for: id });
    input.addEventListener('input', () => {
      const r = ranges.get(path);
      const value = snapped(Number(input.value), r);
      output.textContent = r.count ? String(value) : show(value, r.kind, r.step);
      answer({ path, value });
    });
    input.addEventListener('keydown', (e) => step(e, input, path));
    const row = make('div', { className: 'slider' }, make('label', { for: id }, path, make('small', { textContent: c.about })), output, input);
    row.dataset.path = path;
    return row;
  }));
}

const snapped = (v, r) => Math.min(r.high, Math.max(r.low, Math.round(v / r.step) * r.step));

// The arrow keys move by a step of the input, not by a hundredth of the slider.
function step(e, input, path) {
  const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[e.key];
  if (!by) return;
  e.preventDefault();
  const r = ranges.get(path);
  input.value = snapped(Number(input.value) + by * r.step, r);
  input.dispatchEvent(new Event('input'));
}

$('more-inputs').addEventListener('change', () => {
  if ($('more-inputs').value) shown.push($('more-inputs').value);
  const path = $('more-inputs').value;
  sliders();
  $('input-' + path.replaceAll('.', '-'))?.focus();
});

on('design', () => {
  ranges.clear();
  shown = [];
  text.value = state.text;
  gutter(new Set());
  $('predict-out').replaceChildren();
  answer();
});
onUnits(() => state.answer && answer());

for (const kind of ['predict', 'compare']) home(kind, 'predict-out');
home('report', 'report-out');
$('predict').addEventListener('click', guarded(() => start({ kind: 'predict', ...source(), samples: Number($('samples').value) })));
$('compare').addEventListener('click', guarded(() => start({ kind: 'compare', ...source(), other: $('other').value, samples: Math.min(1000, Number($('samples').value)) })));
$('report').addEventListener('click', guarded(() => start({ kind: 'report', ...source() })));
