// The design that the page works on, and who wants to know of changes.
export const state = { name: '', text: '', revision: '', example: true, savedText: '', answer: null, project: null, made: null };
const listeners = { design: new Set(), answer: new Set(), trials: new Set(), jobs: new Set() };
export const on = (what, f) => listeners[what].add(f);
export const changed = (what) => { for (const f of listeners[what]) f(); };
export const unsaved = () => state.text !== state.savedText;
export const source = () => ({ name: state.name, text: state.text });
