/* The end of a visit: what was looked at and what was not, handing over, and whatever stands in its way.

In: the visit, and what the records said of it. Out: a finished visit; a choice where another visit of the day is kept.
Not here: sending (handing). Nothing is ever thrown away here. */

import { html } from "../library/htm_preact.js";
import { Clash } from "./clash.js";
import { firstOpen, stationDone, stationName } from "./examination.js";
import { handOver, waits } from "./handing.js";
import { doneWords, go } from "./parts.js";
import { act, beside, state } from "./state.js";
import { Where } from "./start_screen.js";

const NO_SIGNAL = "No signal: it stays on this telephone and goes to the records when there is one. It is handed over only once, " +
  "whatever happens on the way.";

export function FinishScreen({ visit }) {
  const { exam } = state;
  const { names } = firstOpen(exam, visit.sum);
  const finish = async () => {
    await act("finish", {}, "The visit is finished.");
    await handOver();
  };
  const reopen = async () => {
    await act("reopen", {}, "The visit is open again.");
    await beside(visit.id, { conflict: null, toMend: null });
    go({ at: "round", visit: visit.id });
  };
  return html`<h1 tabindex="-1">${visit.horseName}: ${visit.sum.finished ? "the visit is finished" : "finish the visit"}</h1>
    <p class="where-line"><${Where} visit=${visit}/></p>
    ${visit.conflict && html`<${Clash} visit=${visit} onReopen=${reopen}/>`}
    ${visit.toMend && html`<section class="clash"><h2>Something has to be mended first</h2>
      <p>Nothing was lost; it is all on this telephone.</p>
      <ul>${visit.toMend.map((one) => html`<li>${one.sentence} ${one.hint}</li>`)}</ul>
      <button type="button" class="first" onClick=${reopen}>Open the visit and mend it</button></section>`}
    ${!visit.sum.finished && html`<${StillOpen} visit=${visit}/>
      <button type="button" class="first wide" onClick=${finish}>Finish and hand over</button>
      <p class="soft">${state.signal ? "It goes to the records at once." : NO_SIGNAL}</p>`}
    ${visit.sum.finished && !visit.conflict && !visit.toMend && html`
      ${waits(visit) && html`<p>${state.signal ? "" : "No signal just now. "}This page hands the visit over by itself when it can; nothing more has to be done.</p>`}
      <div class="row">
        ${waits(visit) && html`<button type="button" class="first" disabled=${state.handing === visit.id}
          onClick=${() => handOver()}>Hand over now</button>`}
        <button type="button" onClick=${reopen}>Open it again</button>
        <button type="button" onClick=${() => go({ at: "start" })}>To the next horse</button>
      </div>`}
    ${visit.handed?.held_back && !waits(visit) && html`<p>Graded blind: nobody else sees it before ${visit.handed.held_back}'s
      grading of this day is in. Both are laid side by side at <a href="/agree">two hands</a>.</p>`}
    ${visit.handed && !visit.handed.held_back && !waits(visit) && visit.sum.entries.graded_blind_beside && html`<p>Graded blind:
      what was graded beside ${visit.sum.entries.graded_blind_beside} stands at <a href="/agree">two hands</a>.</p>`}
    ${visit.handed && !visit.handed.held_back && !waits(visit) && html`<p class="row"><a class="big" href=${`/visits/${visit.handed.visit}`}>Answer, plan, reports</a>
      <a href=${`/visits/${visit.handed.visit}/photographs`}>Add photographs</a></p>`}
    <h2>What was looked at</h2>
    ${visit.sum.finished && names.length > 0 && html`<p><b>Not looked at, of the first sixty seconds:</b> ${names.join(", ")}.</p>`}
    <ul class="tally">${exam.stations.filter((one) => one.kind !== "notes").map((station) => {
      const counts = stationDone(exam, station, visit.sum);
      return html`<li key=${station.id}
        class=${counts[1] ? "" : "soft"}>${stationName(exam, station)}: ${counts[1] ? doneWords(counts) : "not looked at"}</li>`;
    })}</ul>
    ${visit.sum.lines.length > 0 && html`<p>${visit.sum.lines.length === 1 ? "One line is not read yet; it goes along as a note that says so."
      : `${visit.sum.lines.length} lines are not read yet; they go along as notes that say so.`}</p>`}`;
}

/** What of the first sixty seconds nobody has looked at: said before the visit is finished, which stays possible. */
function StillOpen({ visit }) {
  const { station, names, of } = firstOpen(state.exam, visit.sum);
  if (!names.length) return null;
  return html`<section class="clash" aria-label="not looked at yet"><h2>${names.length === of
      ? "Nothing of the first sixty seconds was looked at" : `Not looked at, of the first sixty seconds: ${names.length} of ${of}`}</h2>
    <p>${names.join(", ")}.</p>
    <p>They come before anything the hands find: a reason to call the veterinarian may stand among them.</p>
    <button type="button" class="wide"
      onClick=${() => go({ at: "station", visit: visit.id, station: station.id })}>Look at them now</button>
    <p class="soft">Or finish without them: they are told as not looked at.</p></section>`;
}
