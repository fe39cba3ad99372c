// Quantities are SI inside; here they are shown in the units that were chosen, and
// the program is asked for pictures and texts in the same.
const usual = 'degC,mm';
let table = {};
let which = localStorage.getItem('units') || usual;
const listeners = new Set();

export function setUnits(all) {
  table = all;
  if (!table[which]) which = usual; // kept by another version of this page
}
export const chosenUnits = () => which;
export const onUnits = (f) => listeners.add(f);
export function chooseUnits(name) {
  which = name;
  localStorage.setItem('units', name);
  for (const f of listeners) f();
}

// inUnits is the address of something that the program shows in the units chosen.
export const inUnits = (path) => (which === usual ? path : path + (path.includes('?') ? '&' : '?') + 'units=' + encodeURIComponent(which));

// asOption is what a command needs to show the same.
export const asOption = () => (which === usual ? '' : ' --units ' + which);

const unitOf = (kind) => table[which]?.[kind] || { symbol: '', factor: 1, offset: 0 };

export function show(si, kind, step) {
  const u = unitOf(kind);
  const x = (si - u.offset) / u.factor;
  const fine = step ? Math.max(0, Math.min(4, Math.ceil(-Math.log10(step / u.factor) - 1e-6))) : undefined;
  const text = fine === undefined ? String(Number(x.toPrecision(3))) : x.toFixed(fine);
  return u.symbol ? text + ' ' + u.symbol : text;
}
