/* What the page knows at this moment, and the one door through which it changes.

In: acts from the screens, answers from the records. Out: a state that the screens draw.
Not here: screens. INVARIANT: an act is on the telephone before anything on the screen says so; where the telephone refuses, the
screen says that, and nothing is shown as entered. */

import { folded, lastOf, newAct, newId, today } from "./acts.js";
import { allVisits, keepAct, keepBeside, keepNew, oneVisit, remember, remembered, takeOff, whenChanged } from "./kept.js";
import { Refused, fetched } from "./asking.js";
import { learn } from "./examination.js";

export const state = {
  ready: false, keeps: true, signal: true, shell: "", signedOut: false, exam: null, horses: null, horsesAt: null, hands: null, visits: [],
  open: null, view: { at: "start" }, said: "", alarm: "", urgent: "", openAnswer: false, answer: null, next: null, answerState: "none", handing: null, large: false,
};
const watching = new Set();
const afterActs = new Set();

/** Call back on every change; the call that ends it. */
export function watch(call) {
  watching.add(call);
  return () => watching.delete(call);
}

/** Call back with a visit after each act of it was kept. */
export const whenActed = (call) => afterActs.add(call);

export function change(more) {
  Object.assign(state, more);
  for (const call of watching) call();
}

/** Say something to whoever listens or looks: it stands in the page's line of news. */
export const say = (said) => change({ said });

let turn = Promise.resolve();
/** Acts are kept one after the other, in the order of the touches. */
function inTurn(task) {
  const done = turn.then(task);
  turn = done.catch(() => {});
  return done;
}

/** The open visit with its fold, worked out once for each state of its acts. */
let foldedOnce = { visit: null, sum: null };
export function openVisit() {
  const visit = state.visits.find((one) => one.id === state.open);
  if (!visit) return null;
  if (foldedOnce.visit !== visit) foldedOnce = { visit, sum: folded(visit) };
  return { ...visit, sum: foldedOnce.sum };
}

function putVisit(visit) {
  const others = state.visits.filter((one) => one.id !== visit.id);
  const visits = [...others, visit].sort((one, other) => other.begun.localeCompare(one.begun));
  change({ visits });
}

/** Do one thing to the open visit: kept first, then shown. The act.
 *
 * `more` may be worked out from the visit as it is when the act's turn comes (quick taps must not build on what the screen showed
 * before the tap ahead of them was kept), and `said` from the act. */
export function act(kind, more, said) {
  const id = state.open;
  return inTurn(async () => {
    const done = newAct(kind, typeof more === "function" ? more(openVisit().sum) : more);
    try {
      putVisit(await keepAct(id, done));
    } catch (fault) {
      change({ alarm: "That was not kept: this telephone refused to write it. Touch again, or write it on paper." });
      throw fault;
    }
    const words = typeof said === "function" ? said(done) : said;
    change({ alarm: "", ...(words ? { said: words } : {}) });
    for (const call of afterActs) call(id);
    return done;
  });
}

/** Take the last act back, and say which it was. */
export async function undo(words) {
  const visit = openVisit();
  const last = visit && lastOf(visit);
  if (last) await act("undo", { of: last.id }, `Taken back: ${words(last)}`);
  return last;
}

/** A new visit on this telephone. */
export async function begin({ horse, horseName, starts, opening, last }) {
  const visit = {
    id: newId(), begun: new Date().toISOString(), day: starts.visit || today(), horse, horseName, starts, opening: opening || [], last: last || {},
    stamp: state.exam.stamp, acts: [], handed: null, conflict: null, toMend: null,
  };
  try {
    await keepNew(visit);
  } catch {
    change({ alarm: "This browser keeps nothing, so no visit can begin in it. Leave private browsing, or make room on the telephone." });
    return null;
  }
  navigator.storage?.persist?.().catch(() => {});
  remember("yard", starts.yard || "");
  remember("examined_by", starts.examined_by || "");
  remember("checked_by", starts.checked_by || "");
  change({
    yard: starts.yard || state.yard, examiner: starts.examined_by || state.examiner, checker: starts.checked_by || state.checker,
  });
  putVisit(visit);
  return visit.id;
}

/** Write down beside a visit what became of it. */
export const beside = (id, more) => inTurn(async () => putVisit(await keepBeside(id, more)));

/** Take a visit that the records hold off this telephone. */
export async function forget(id) {
  await takeOff(id);
  change({ visits: state.visits.filter((one) => one.id !== id), said: "Taken off this telephone. The records keep it." });
}

/** What is on this telephone. */
export async function wakeUp() {
  try {
    change({ visits: await allVisits() });
  } catch {
    change({ keeps: false });
  }
  const [kept, horses, horsesAt, yard, examiner, checker, hands] = await Promise.all(
    ["examination", "horses", "horses-at", "yard", "examined_by", "checked_by", "hands"].map(remembered));
  change({
    horses: horses || [], horsesAt: horsesAt || null, yard: yard || "", examiner: examiner || hands?.name || "", checker: checker || "",
    hands: hands || null,
  });
  if (kept) change({ exam: learn(kept), ready: true });
}

/** Ask the records anew for what a visit needs. */
export async function ask() {
  try {
    const exam = (await fetched("/api/examination", { patience: 6000 })).body;
    await remember("examination", exam);
    change({ exam: learn(exam), signedOut: false });
    const horses = (await fetched("/api/horses", { patience: 6000 })).body;
    const at = new Date().toISOString();
    await remember("horses", horses);
    await remember("horses-at", at);
    change({ horses, horsesAt: at });
    const hands = (await fetched("/api/hands", { patience: 6000 })).body;
    await remember("hands", hands);
    change({ hands, examiner: state.examiner || hands.name });
  } catch (fault) {
    if (fault instanceof Refused && (fault.status === 401 || fault.status === 403)) change({ signedOut: true });
  }
  change({ ready: true });
}

whenChanged(async (id) => {
  const visit = await oneVisit(id).catch(() => null);
  if (visit) putVisit(visit);
  else change({ visits: state.visits.filter((one) => one.id !== id) });
});
