// The local server as a back end.

import { Conflict, Lost, Refused, type Backend } from './backend';
import type { Errors, ExampleText, StoredPlan } from './types.gen';

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
  const json = async <T>(response: Promise<Response>) => (await (await response).json()) as T;
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
    answer: (text, signal) => json(send('POST', '/answer', { plan: text }, signal)),
    replay: (request, signal) => json(send('POST', '/replay', request, signal)),
    brief: async (request, signal) => (await send('POST', '/brief', request, signal)).blob(),
  };
}

async function ask(path: string, init: RequestInit): Promise<Response> {
  const patience = AbortSignal.timeout(PATIENCE_MS);
  const signal = init.signal ? AbortSignal.any([init.signal, patience]) : patience;
  let response: Response;
  try {
    response = await fetch(path, { ...init, signal });
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new Lost('the server does not answer', { cause: error });
  }
  if (response.ok) return response;
  throw await refusal(response);
}

async function refusal(response: Response): Promise<Error> {
  const body: unknown = await response.json().catch(() => null);
  if (response.status === 409 && isStored(body)) return new Conflict(body);
  if (response.status === 401) {
    // A session that has ended: the server shows its sign-in page.
    location.reload();
  }
  if (isErrors(body)) return new Refused(body);
  return new Lost(`the server answered ${response.status} without saying why`);
}

function isErrors(body: unknown): body is Errors {
  return typeof body === 'object' && body !== null && Array.isArray((body as Errors).errors);
}

function isStored(body: unknown): body is StoredPlan {
  return typeof body === 'object' && body !== null && typeof (body as StoredPlan).revision === 'string';
}
