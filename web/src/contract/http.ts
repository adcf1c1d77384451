// The local server as a back end.

import { Conflict, Lost, Missing, Refused, type Backend } from './backend';
import type { Errors, ExampleText, StoredPlan } from './types.gen';

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

  return {
    health: () => json(get('/health')),
    examples: () => json(get('/examples')),
    example: async (name) => (await json<ExampleText>(get(`/examples/${encodeURIComponent(name)}`))).plan,
    plans: () => json(get('/plans')),
    open: (name) => json(get(plan(name))),
    create: (wanted) => json(send('POST', '/plans', wanted)),
    save: (name, text) => json(send('PUT', plan(name), text)),
    remove: async (name) => void (await send('DELETE', plan(name), {})),
    edit: (request) => json(send('POST', '/edit', request)),
    openAsRig: (request) => json(send('POST', '/open-as-rig', request)),
    layOut: (request) => json(send('POST', '/lay-out', request)),
    live: (request) => json(send('POST', '/live', request)),
    answer: (request, signal) => json(send('POST', '/answer', request, signal)),
    replay: (request, signal) => json(send('POST', '/replay', request, signal)),
    brief: async (request, signal) => (await send('POST', '/brief', request, signal)).blob(),
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

async function refusal(response: Response): Promise<Error> {
  const body: unknown = await response.json().catch(() => null);
  if (response.status === 409 && isStored(body)) return new Conflict(body);
  if (response.status === 401) {
    // A session that has ended: the server shows its sign-in page.
    location.reload();
  }
  if (isErrors(body)) return response.status === 404 ? new Missing(body) : new Refused(body);
  return new Lost(`the server answered ${response.status} without saying why`);
}

function isErrors(body: unknown): body is Errors {
  return typeof body === 'object' && body !== null && Array.isArray((body as Errors).errors);
}

function isStored(body: unknown): body is StoredPlan {
  return typeof body === 'object' && body !== null && typeof (body as StoredPlan).revision === 'string';
}
