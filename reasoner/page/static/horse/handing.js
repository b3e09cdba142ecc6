/* Handing finished visits over to the records, exactly once each.

In: the visits on this telephone. Out: each finished one in the records, or what stands in the way, written beside it.
Not here: the records. A visit carries one name from its first tap on, so that it may be sent as often as it takes: where the
answer to a sending was lost, the next sending is told that it is there already. Nothing leaves the telephone's own keeping. */

import { folded } from "./acts.js";
import { NoSignal, Refused, posted } from "./asking.js";
import { ask, beside, change, say, state } from "./state.js";

const AGAIN = 15_000; // ms between two tries while something waits
let running = false;

/** Whether a visit is finished and its words are not in the records yet. */
export function waits(visit) {
  const { finished } = folded(visit);
  return Boolean(finished) && visit.handed?.acts !== visit.acts.length;
}

/** Whether a visit waits for nothing but a signal. */
const canGo = (visit) => waits(visit) && !visit.conflict && !visit.toMend;

/** Try every visit that waits; quiet where there is no signal. */
export async function handOver() {
  if (running) return;
  running = true;
  try {
    for (const visit of state.visits.filter(canGo)) await one(visit);
  } finally {
    running = false;
    change({ handing: null });
  }
}

async function one(visit) {
  const sum = folded(visit);
  change({ handing: visit.id });
  try {
    const { body } = await posted("/api/hand-over", {
      draft: sum.draft, by: sum.entries.examined_by || "", ...(sum.chosen ? { chosen: sum.chosen } : {}),
    });
    await beside(visit.id, { handed: { ...body, acts: visit.acts.length }, conflict: null, toMend: null });
    change({ signedOut: false });
    say(`${visit.horseName}: kept in the records.`);
    ask();
  } catch (fault) {
    if (fault instanceof NoSignal) return;
    if (!(fault instanceof Refused)) throw fault;
    if (fault.status === 409) await beside(visit.id, { conflict: fault.body });
    else if (fault.status === 422) await beside(visit.id, { toMend: fault.body?.problems || [{ sentence: fault.message }] });
    else if (fault.status === 401 || fault.status === 403) change({ signedOut: true });
    // Anything else is the machine's own trouble: the visit stays here and is tried again.
  }
}

/** Begin to try whenever there may be a signal again. */
export function keepTrying() {
  const go = () => state.visits.some(canGo) && handOver();
  addEventListener("online", go);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && go());
  setInterval(go, AGAIN);
  go();
}
