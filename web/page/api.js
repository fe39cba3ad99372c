// Talks to the server that served this page, and to nobody else.
import { inUnits } from './units.js';

const token = document.querySelector('meta[name=meltspan-token]').content;

export class Problem extends Error {
  constructor(p) {
    super(p.detail || p.title || 'The program did not answer as expected.');
    Object.assign(this, p);
  }
}

export async function ask(method, path, body, headers = {}) {
  const options = { method, headers: { ...headers } };
  if (method !== 'GET') options.headers['Meltspan-Token'] = token;
  if (body instanceof FormData) options.body = body;
  else if (body !== undefined) {
    options.headers['Content-Type'] = 'application/json';
    options.body = JSON.stringify(body);
  }
  let answer;
  try {
    answer = await fetch(inUnits(path), options);
  } catch {
    throw new Problem({ status: 0, detail: 'The program does not answer. Is it still running? Nothing was lost here: start it again and go on.' });
  }
  const kind = answer.headers.get('Content-Type') || '';
  if (!answer.ok) throw new Problem(kind.includes('json') ? await answer.json() : { status: answer.status, detail: answer.statusText });
  if (answer.status === 204) return null;
  return kind.startsWith('application/json') ? answer.json() : answer.blob();
}

export const get = (path) => ask('GET', path);
export const post = (path, body) => ask('POST', path, body);
export const designPath = (name) => 'api/designs/' + name.split('/').map(encodeURIComponent).join('/');
