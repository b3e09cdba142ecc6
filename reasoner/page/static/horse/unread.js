/* Lines that were said without a signal: offered to be read as soon as there is one, each until it was read or kept as a note.

In: the visits on this telephone. Out: an offer on every screen; the way to the reading.
Not here: reading (notes_screen). A line is offered as long as it waits; once it was said yes or no to it does not wait any more, in any tab. */

import { html } from "../library/htm_preact.js";
import { folded } from "./acts.js";
import { isTap, go } from "./parts.js";
import { act, beside, change, state } from "./state.js";

/** The lines that wait: of the open visit, or of every visit on this telephone; the one said first is first. */
const waiting = (visit) => (visit ? [visit] : state.visits)
  .flatMap((one) => folded(one).lines.map((line) => ({ line, visit: one })))
  .sort((one, other) => one.line.at.localeCompare(other.line.at));

/** The offer, where there is a signal. */
export function Unread({ visit }) {
  const lines = state.signal && state.view.at !== "notes" ? waiting(visit) : [];
  if (!lines.length) return null;
  const [{ line, visit: of }] = lines;
  const { finished } = folded(of);
  return html`<section class="note unread" aria-label="lines to be read">
    <p>${lines.length === 1 ? "A line waits" : `${lines.length} lines wait`} to be read${visit ? "" : ` (${of.horseName})`}: “${line.text}”. Nothing of
      it is entered yet.</p>
    <button type="button" class="first" onClick=${(event) => isTap(event) && toRead(of, line, finished)}>
      ${finished ? "Open the visit again and read it" : "Read it now"}</button></section>`;
}

async function toRead(visit, line, finished) {
  change({ open: visit.id });
  if (finished) {
    await act("reopen", {}, "The visit is open again.");
    await beside(visit.id, { conflict: null, toMend: null });
  }
  go({ at: "notes", visit: visit.id, line: line.id });
}
