// Quantities are SI inside; here they are shown in the units that were chosen.
let table = {};
let which = Number(localStorage.getItem('units') || 0);
const listeners = new Set();

export function setUnits(all) { table = all; }
export const chosenUnits = () => which;
export const onUnits = (f) => listeners.add(f);
export function chooseUnits(n) {
  which = n;
  localStorage.setItem('units', n);
  for (const f of listeners) f();
}

const unitOf = (kind) => (table[kind] || [{ symbol: '', factor: 1, offset: 0 }])[which] || { symbol: '', factor: 1, offset: 0 };
export const toShown = (si, kind) => (si - unitOf(kind).offset) / unitOf(kind).factor;
export const stepShown = (step, kind) => step / unitOf(kind).factor;

export function show(si, kind, step) {
  const u = unitOf(kind);
  const x = toShown(si, kind);
  const fine = step ? Math.max(0, Math.min(4, Math.ceil(-Math.log10(step / u.factor) - 1e-6))) : undefined;
  const text = fine === undefined ? String(Number(x.toPrecision(3))) : x.toFixed(fine);
  return u.symbol ? text + ' ' + u.symbol : text;
}
