// SPDX-License-Identifier: Apache-2.0
// Developer aid only: serves app/dist with invented answers in the shapes of the HTTP API, so that the
// page can be looked at without the program. The real tests run against the program (run.mjs).
//   node tests/browser/mock-server.mjs [PORT] [--empty]
import { createServer } from 'node:http';
import { readFileSync } from 'node:fs';
import { dirname, extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeMock } from './mock-data.mjs';

const dist = join(dirname(fileURLToPath(import.meta.url)), '../../app/dist');
const TYPES = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript; charset=utf-8', '.css': 'text/css; charset=utf-8', '.svg': 'image/svg+xml', '.webmanifest': 'application/manifest+json' };

export function startMock(port = 0, empty = false) {
  const answer = makeMock(empty);
  const server = createServer((request, response) => {
    const url = new URL(request.url, 'http://127.0.0.1');
    let body = '';
    request.on('data', (piece) => { body += piece; });
    request.on('end', () => {
      response.setHeader('content-security-policy', "default-src 'self'");
      if (url.pathname.startsWith('/api/')) {
        const { status, json } = answer(request.method, url.pathname.slice(4), url.searchParams, body ? JSON.parse(body) : null);
        response.writeHead(status, { 'content-type': 'application/json; charset=utf-8' });
        response.end(JSON.stringify(json));
        return;
      }
      const name = url.pathname === '/' ? 'index.html' : url.pathname.slice(1);
      try {
        const bytes = readFileSync(join(dist, name));
        response.writeHead(200, { 'content-type': TYPES[extname(name)] ?? 'application/octet-stream' });
        response.end(bytes);
      } catch {
        response.writeHead(404);
        response.end();
      }
    });
  });
  return new Promise((resolve) => server.listen(port, '127.0.0.1', () => resolve({ url: `http://127.0.0.1:${server.address().port}/`, stop: () => { server.closeAllConnections(); return new Promise((done) => server.close(done)); } })));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { url } = await startMock(Number(process.argv[2] ?? 0) || 0, process.argv.includes('--empty'));
  console.log(url);
}
