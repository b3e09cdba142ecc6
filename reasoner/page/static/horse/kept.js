/* What is kept on this telephone, in the browser's own database.

In: visits and their acts, what the page was last told by the records. Out: the same after a reload, a crash, a flat battery.
Not here: what an act means, handing over. An act is written before anything else is done with it; two open tabs add to the same
list without losing each other's, because each act is added inside one transaction. */

import { createStore, del, entries, get, set, update } from "../library/idb_keyval.js";

const visits = createStore("at-the-horse", "visits");
const learnt = createStore("at-the-horse-learnt", "learnt");
const told = "BroadcastChannel" in self ? new BroadcastChannel("at-the-horse") : null;

/** Every visit on this telephone, the newest first. */
export async function allVisits() {
  const all = (await entries(visits)).map(([, visit]) => visit);
  return all.sort((one, other) => other.begun.localeCompare(one.begun));
}

export const oneVisit = (id) => get(id, visits);

/** Keep a new visit. Fails where the telephone keeps nothing. */
export async function keepNew(visit) {
  await set(visit.id, visit, visits);
  told?.postMessage(visit.id);
}

/** Add one act to a visit; the visit as it is then. Fails where the telephone refuses, and then nothing was changed. */
export async function keepAct(id, act) {
  return changed(id, (visit) =>
    visit.acts.some((one) => one.id === act.id) ? visit : { ...visit, acts: [...visit.acts, act] });
}

/** Write beside a visit what became of it (handed over, a conflict, what has to be mended). */
export async function keepBeside(id, more) {
  return changed(id, (visit) => ({ ...visit, ...more }));
}

async function changed(id, how) {
  let now = null;
  await update(id, (visit) => {
    if (!visit) return visit;
    now = how(visit);
    return now;
  }, visits);
  if (!now) throw new Error("this visit is no longer on this telephone");
  told?.postMessage(id);
  return now;
}

/** Take a visit off this telephone; only one that the records hold. */
export async function takeOff(id) {
  const visit = await get(id, visits);
  if (!visit?.handed) throw new Error("this visit is kept on this telephone only");
  await del(id, visits);
  told?.postMessage(id);
}

/** Call back with a visit's id whenever another tab changed it. */
export function whenChanged(call) {
  if (told) told.onmessage = (event) => call(event.data);
}

/** What the page was told last: the examination, the horses, what stays from the last visit. */
export const remember = (key, value) => set(key, value, learnt).catch(() => {});
export const remembered = (key) => get(key, learnt).catch(() => undefined);
