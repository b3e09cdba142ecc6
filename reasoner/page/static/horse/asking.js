/* The page's questions to the machine that holds the records, and whether there is a signal.

In: a path and what is sent. Out: what came back, or `NoSignal`, or `Refused` with its words.
Not here: what is asked when, keeping. Nothing goes anywhere but to where the page came from. */

/** Nobody answered: no network, or the machine is switched off. */
export class NoSignal extends Error {}

/** An answer that is a no: its status, and what it says. */
export class Refused extends Error {
  constructor(status, body) {
    super(body?.says || body?.problems?.[0]?.sentence || `refused (${status})`);
    this.status = status;
    this.body = body;
  }
}

const PATIENCE = 12_000; // ms; a signal that takes longer than this is none
let heard = () => {};

/** Call back with true or false whenever an answer, or none, shows whether there is a signal. */
export function whenHeard(call) {
  heard = call;
}

export const fetched = (path, options) => spoken(path, { method: "GET" }, options);

export const posted = (path, body, options) =>
  spoken(path, {
    method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json", "X-From-Page": "1" },
  }, options);

async function spoken(path, request, { patience = PATIENCE, signal } = {}) {
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), patience);
  signal?.addEventListener("abort", () => stop.abort());
  let answer;
  let body = null;
  try {
    answer = await fetch(path, { ...request, signal: stop.signal, cache: "no-store", credentials: "same-origin" });
    const text = await answer.text();
    try {
      body = JSON.parse(text);
    } catch {
      body = null;
    }
  } catch (fault) {
    if (signal?.aborted) throw fault;
    heard(false);
    throw new NoSignal();
  } finally {
    clearTimeout(late);
  }
  heard(true);
  if (!answer.ok) throw new Refused(answer.status, body);
  if (body === null) throw new Refused(answer.status, { says: "The answer could not be read." });
  return { status: answer.status, body, from: answer.headers.get("x-kept-on-telephone") };
}
