/* The answer that follows the touches: what the records' machine makes of the visit so far.

In: the open visit after each act. Out: `state.answer` shortly after the thumb lifts, `state.next` once it rests.
Not here: judging anything. Without a signal nothing is made up: the last answer is put away, and that is said. */

import { NoSignal, Refused, posted } from "./asking.js";
import { moved } from "./parts.js";
import { change, openVisit, say, state } from "./state.js";

const SOON = 350; // ms after a touch until the answer is asked for
const RESTED = 1600; // ms after a touch until what to check next is asked for
let soon = 0;
let later = 0;
let stop = new AbortController();

/** Ask anew, a moment after the last touch. */
export function askLater() {
  clearTimeout(soon);
  clearTimeout(later);
  stop.abort();
  stop = new AbortController();
  const { signal } = stop;
  change({ answerState: state.signal ? "waiting" : "no signal" });
  soon = setTimeout(() => asked("/api/answer", signal, heardAnswer), SOON);
  later = setTimeout(() => asked("/api/next", signal, (next) => change({ next })), RESTED);
}

/** Nothing is open: nothing is asked. */
export function putAway() {
  clearTimeout(soon);
  clearTimeout(later);
  stop.abort();
  change({ answer: null, next: null, answerState: "none", openAnswer: false, urgent: "" });
}

async function asked(path, signal, heard) {
  const visit = openVisit();
  if (!visit) return;
  try {
    const { body } = await posted(path, visit.sum.draft, { signal });
    if (!signal.aborted) heard(body);
  } catch (fault) {
    if (signal.aborted) return;
    if (fault instanceof NoSignal) change({ answerState: "no signal", answer: null, next: null });
    else if (fault instanceof Refused && fault.status === 422) {
      change({ answerState: "to mend", answer: { problems: fault.body?.problems || [] }, next: null });
    } else if (fault instanceof Refused && fault.status === 401) change({ answerState: "signed out", signedOut: true });
    else change({ answerState: "failed" });
  }
}

function heardAnswer(answer) {
  const before = state.answer?.referral;
  const { level, words } = answer.referral;
  change({ answer, answerState: "here", signedOut: false });
  // What was said aloud is over: a screen reader must not go on with it, nor must what opened by itself stay in the way.
  if (level !== "emergency" && state.urgent) change({ urgent: "", openAnswer: false });
  if (before?.words === words || level === "none") return;
  if (level === "emergency" && before?.level !== "emergency") {
    // What to do while waiting must not lie behind a tap; and the page has moved under the thumb.
    moved();
    change({ openAnswer: true, urgent: words });
    scrollTo(0, 0); // its first words stand at the top of the page
  } else {
    say(words);
  }
}
