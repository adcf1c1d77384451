// The local server as a back end.

import { Conflict, DayConflict, Lost, Missing, Refused, type Backend } from './backend';
import type { Errors, ExampleText, KeptTestFile, StoredPlan, StoredTestDay } from './types.gen';

/** How often a busy server is asked again, and how long is waited at most. */
const BUSY_TRIES = 5;
const BUSY_WAIT_S = 5;
/** A page that waits longer than this for a word takes the server for lost. */
const PATIENCE_MS = 60_000;

export function httpBackend(base = '/api'): Backend {
  const get = (path: string) => ask(base + path, { method: 'GET' });
  const send = (method: string, path: string, body: unknown, signal?: AbortSignal) =>
    ask(base + path, {
      method,
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
      signal,
    });
  const json = async <T>(asked: Promise<Response>): Promise<T> => {
    const response = await asked;
    try {
      return (await response.json()) as T;
    } catch (error) {
      if (error instanceof DOMException && error.name === 'AbortError') throw error;
      throw new Lost('the server broke off in the middle of an answer', { cause: error });
    }
  };
  const plan = (name: string) => `/plans/${encodeURIComponent(name)}`;
  const day = (name: string) => `/tests/${encodeURIComponent(name)}`;
  const fileOf = (name: string, file: string) => `${day(name)}/files/${encodeURIComponent(file)}`;

  return {
    health: () => json(get('/health')),
    examples: () => json(get('/examples')),
    example: async (name) => (await json<ExampleText>(get(`/examples/${encodeURIComponent(name)}`))).plan,
    plans: () => json(get('/plans')),
    open: (name) => json(get(plan(name))),
    create: (wanted) => json(send('POST', '/plans', wanted)),
    save: (name, text) => json(send('PUT', plan(name), text)),
    remove: async (name) => void (await send('DELETE', plan(name), {})),
    keepLine: (line) => json(send('POST', '/lines', line)),
    edit: (request) => json(send('POST', '/edit', request)),
    openAsRig: (request) => json(send('POST', '/open-as-rig', request)),
    layOut: (request) => json(send('POST', '/lay-out', request)),
    live: (request) => json(send('POST', '/live', request)),
    answer: (request, signal) => json(send('POST', '/answer', request, signal)),
    replay: (request, signal) => json(send('POST', '/replay', request, signal)),
    brief: async (request, signal) => (await send('POST', '/brief', request, signal)).blob(),
    tests: {
      days: () => json(get('/tests')),
      create: (wanted) => json(send('POST', '/tests', wanted)),
      open: (name) => json(get(day(name))),
      save: (name, text) => json(send('PUT', day(name), text)),
      remove: async (name) => void (await send('DELETE', day(name), {})),
      rename: (name, request) => json(send('POST', `${day(name)}/rename`, request)),
      putFile: (name, file, bytes, told, signal) => upload(base + fileOf(name, file), bytes, told, signal),
      fileAddress: (name, file) => base + fileOf(name, file),
      removeFile: async (name, file) => void (await send('DELETE', fileOf(name, file), {})),
      look: (name, request, signal) => json(send('POST', `${day(name)}/look`, request, signal)),
      takeUp: (name, request) => json(send('POST', `${day(name)}/take-up`, request)),
      edit: (name, request) => json(send('POST', `${day(name)}/edit`, request)),
      read: (name, request, signal) => json(send('POST', `${day(name)}/read`, request, signal)),
      levels: (name, request, signal) => json(send('POST', `${day(name)}/levels`, request, signal)),
      fit: (name, request, signal) => json(send('POST', `${day(name)}/fit`, request, signal)),
      compare: (name, request, signal) => json(send('POST', `${day(name)}/compare`, request, signal)),
      order: (name, request, signal) => json(send('POST', `${day(name)}/order`, request, signal)),
      report: async (name, request) => (await send('POST', `${day(name)}/report`, request)).blob(),
    },
  };
}

/** Asks, and asks again while the server is busy: that is no refusal of what was asked. */
async function ask(path: string, init: RequestInit): Promise<Response> {
  for (let tries = 1; ; tries += 1) {
    const response = await askOnce(path, init);
    if (response.ok) return response;
    if (response.status !== 503) throw await refusal(response);
    if (tries === BUSY_TRIES) throw new Lost('the server is busy');
    const wait = Number(response.headers.get('retry-after') ?? 1);
    await new Promise((resolve) => setTimeout(resolve, 1000 * Math.min(wait || 1, BUSY_WAIT_S)));
    init.signal?.throwIfAborted();
  }
}

async function askOnce(path: string, init: RequestInit): Promise<Response> {
  const patience = AbortSignal.timeout(PATIENCE_MS);
  const signal = init.signal ? AbortSignal.any([init.signal, patience]) : patience;
  try {
    return await fetch(path, { ...init, signal });
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new Lost('the server does not answer', { cause: error });
  }
}

/** A fetch tells nothing of how much was sent: this does. */
function upload(path: string, bytes: Blob, told: (share: number) => void, signal: AbortSignal): Promise<KeptTestFile> {
  return new Promise((resolve, reject) => {
    const sent = new XMLHttpRequest();
    const stop = () => sent.abort();
    signal.addEventListener('abort', stop);
    sent.upload.onprogress = (event) => told(event.loaded / Math.max(event.total, 1));
    sent.onload = () => {
      const body = parsed(sent.responseText);
      if (sent.status >= 200 && sent.status < 300 && body !== null) resolve(body as KeptTestFile);
      else reject(refused(sent.status, body));
    };
    sent.onerror = () => reject(new Lost('the server does not answer'));
    sent.onabort = () => reject(signal.reason ?? new DOMException('stopped', 'AbortError'));
    sent.onloadend = () => signal.removeEventListener('abort', stop);
    sent.open('PUT', path);
    sent.setRequestHeader('content-type', 'application/octet-stream');
    sent.send(bytes);
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

async function refusal(response: Response): Promise<Error> {
  return refused(response.status, await response.json().catch(() => null));
}

function refused(status: number, body: unknown): Error {
  if (status === 409 && isDay(body)) return new DayConflict(body);
  if (status === 409 && isStored(body)) return new Conflict(body);
  if (status === 401) {
    // A session that has ended: the server shows its sign-in page.
    location.reload();
  }
  if (isErrors(body)) return status === 404 ? new Missing(body) : new Refused(body);
  return new Lost(`the server answered ${status} without saying why`);
}

function isErrors(body: unknown): body is Errors {
  return typeof body === 'object' && body !== null && Array.isArray((body as Errors).errors);
}

function isDay(body: unknown): body is StoredTestDay {
  return isStored(body) && typeof (body as unknown as StoredTestDay).text === 'string';
}

function isStored(body: unknown): body is StoredPlan {
  return typeof body === 'object' && body !== null && typeof (body as StoredPlan).revision === 'string';
}
