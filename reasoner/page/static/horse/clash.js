/* What stands in the way of handing a visit over: the two visits side by side, and what each choice does.

In: a visit and what the records said of it. Out: a choice, none made beforehand, or the visit opened again.
Not here: sending (handing). Whatever is chosen, nothing that was entered is thrown away. */

import { html, useState } from "../library/htm_preact.js";
import { holding } from "./acts.js";
import { handOver } from "./handing.js";
import { isTap } from "./parts.js";
import { act, beside } from "./state.js";
import { SIDE, answerWords, timeOf } from "./words.js";

/** Another visit of the day is kept, this one was handed over in other words, or the horse may be another's namesake. */
export function Clash({ visit, onReopen }) {
  const { says, kept, choices, kind } = visit.conflict;
  // A line that was handed over as a note and read since is a reason that need not be typed.
  const [why, setWhy] = useState(holding(visit.acts).at(-2)?.line ? "a line said without a signal was read" : "");
  const choose = async (chosen) => {
    await act("chosen", { chosen }, "Chosen.");
    await beside(visit.id, { conflict: null });
    await handOver();
  };
  const has = (choice) => choices.includes(choice);
  return html`<section class="clash" aria-label="what stands in the way"><h2>${says}</h2>
    <p><b>Nothing is lost, whatever you choose.</b> This visit is on this telephone${kept
      ? html`; the other is in the records, kept by ${kept.by || "nobody named"} at ${timeOf(kept.at)}` : ""}.</p>
    ${kept && html`<${Apart} kept=${kept}/>`}
    <h3>What should become of ${kept ? "them" : "it"}?</h3>
    ${has("second_visit") && html`<${Way} on=${() => choose({ second_visit: true })} name="Keep both: this is a second visit of the day"
      does="The one in the records stays as it is. This one stands beside it, with an answer and a plan of its own."/>`}
    ${has("same_horse") && html`<${Way} on=${() => choose({ same_horse: true })} name="It is the same horse, and stands where this visit says now"
      does="The visit joins that horse's record. Its earlier visits stay as they are, and it is found under the new yard from now on."/>`}
    ${has("new_horse") && html`<${Way} on=${() => choose({ new_horse: true })} name="It is another horse: keep it under its own name"
      does="A record of its own begins with this visit. Nothing of the other horse is touched."/>`}
    ${has("correction") && html`<div class="way"><label
      class="field"><span>${kind === "draft" ? "This one is right now, because" : "Or this one is right and corrects the kept one, because"}</span>
      <input value=${why} maxlength="300" onInput=${(event) => setWhy(event.currentTarget.value)}/></label>
      <${Way} off=${!why.trim()} on=${() => choose({ correction: why.trim() })} name="Keep this one as a correction"
        does="From now on the record shows this one. The other stays to be read as an earlier version, with who kept it and why it was corrected."/></div>`}
    <${Way} on=${onReopen} name="Open the visit again" does="Nothing is sent. Change what is entered here, and finish it once more."/>
    <p class="soft">Or leave it as it is: it stays on this telephone and waits.</p></section>`;
}

/** A side stands in large letters, as everywhere on this page. */
const sided = (what) => what.replace(/, (left|right)$/, (_, side) => ` · ${SIDE[side]}`);

/** Where the two differ, one beside the other. */
function Apart({ kept }) {
  const rows = kept.beside;
  if (!rows) return null; // held back: what the other hand found opens later, as the heading says
  if (!rows.length) return html`<p>They differ only in how they are written: every reading is the same.</p>`;
  return html`<details open><summary>Where they differ: ${rows.length}</summary><ul class="apart">${rows.map((row) => html`<li>
    <b>${sided(row.what)}</b><br/>in the records: ${answerWords(row.kept)}<br/>on this telephone: ${answerWords(row.here)}</li>`)}</ul></details>`;
}

const Way = ({ name, does, on, off }) => html`<div class="way"><button type="button" class="wide" disabled=${off}
  onClick=${(event) => isTap(event) && on()}>${name}</button><p class="soft">${does}</p></div>`;
