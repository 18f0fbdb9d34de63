// SPDX-License-Identifier: Apache-2.0
// The service worker: keeps the page itself and the last answers, so that the page opens and shows
// what was known when the server cannot be reached. Always asks the network first; what comes from
// the keep says when it was kept. Writes are never touched here: the page queues them itself.
declare const SHELL_MARK: string;
declare const SHELL_FILES: string[];
declare const self: ServiceWorkerGlobalScope;

const SHELL = `lakeward-shell-${SHELL_MARK}`;
const ANSWERS = 'lakeward-answers-1';
const KEPT = 'x-lakeward-kept';
const PATIENCE_MS = 5000;
/** A bed may have to be reckoned first, from a million soundings. */
const RECKONING_MS = 180000;
const RECKONED = /^\/api\/waters\/[^/]+\/(basin|soundings)/;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(SHELL).then((keep) => keep.addAll(SHELL_FILES)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  const tidy = async (): Promise<void> => {
    for (const name of await caches.keys()) {
      if (name.startsWith('lakeward-shell-') && name !== SHELL) await caches.delete(name);
    }
    await self.clients.claim();
  };
  event.waitUntil(tidy());
});

async function fromNetwork(request: Request): Promise<Response> {
  const stop = new AbortController();
  const patience = RECKONED.test(new URL(request.url).pathname) ? RECKONING_MS : PATIENCE_MS;
  const timer = setTimeout(() => stop.abort(), patience);
  try {
    return await fetch(request, { signal: stop.signal });
  } finally {
    clearTimeout(timer);
  }
}

async function keep(cacheName: string, request: Request, response: Response): Promise<void> {
  const headers = new Headers(response.headers);
  headers.set(KEPT, new Date().toISOString());
  const body = await response.blob();
  const cache = await caches.open(cacheName);
  await cache.put(request, new Response(body, { status: response.status, headers }));
}

function unreachable(): Response {
  const error = { id: 'offline', message: 'The server cannot be reached, and this answer was never kept on this device.', field: null };
  return new Response(JSON.stringify({ error }), {
    status: 503,
    headers: { 'content-type': 'application/json; charset=utf-8', [KEPT]: 'none' },
  });
}

async function answer(event: FetchEvent): Promise<Response> {
  const isApi = new URL(event.request.url).pathname.startsWith('/api/');
  try {
    const response = await fromNetwork(event.request);
    if (response.ok && response.type === 'basic') {
      event.waitUntil(keep(isApi ? ANSWERS : SHELL, event.request, response.clone()));
    }
    return response;
  } catch {
    const kept = await caches.match(event.request, { ignoreVary: true });
    if (kept) return kept;
    if (isApi) return unreachable();
    return (await caches.match('./', { ignoreVary: true })) ?? unreachable();
  }
}

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin) return;
  event.respondWith(answer(event));
});

export {};
