/* Keeps the page's own files on the telephone and hands them out where there is no signal.

In: requests of the page. Out: its files of one version, all together; the examination as last heard, where nobody answers.
Not here: visits, sending. VERSION (a hash of the files and the rulebook's stamp) and FILES are written above by the server. */

const SHELL = `at-the-horse ${VERSION}`;
const PAGE = "/at-the-horse";
const LEARNT = "/api/examination";

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const shell = await caches.open(SHELL);
    await shell.addAll([PAGE, LEARNT, ...FILES].map((path) => new Request(path, { cache: "reload" })));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("at-the-horse ") && name !== SHELL) await caches.delete(name);
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname === LEARNT) event.respondWith(learnt(request));
  else if (url.pathname === PAGE && request.mode === "navigate") event.respondWith(kept(PAGE, request));
  else if (FILES.includes(url.pathname)) event.respondWith(kept(url.pathname, request));
});

/** From this version's files; from the network only what is not among them. */
async function kept(path, request) {
  const shell = await caches.open(SHELL);
  return (await shell.match(path)) || fetch(request);
}

/** From the network; as last heard where there is none. A refusal is an answer and stands. */
async function learnt(request) {
  const shell = await caches.open(SHELL);
  try {
    const answer = await fetch(request);
    if (answer.status === 200) await shell.put(LEARNT, answer.clone());
    return answer;
  } catch (fault) {
    const before = await shell.match(LEARNT);
    if (before) return before;
    throw fault;
  }
}
