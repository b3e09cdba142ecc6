/* The answer so far, always in sight: the referral first, then what is likely, then what to check next.

In: what the records' machine answered. Out: a strip at the top of every screen that opens into the whole.
Not here: wording; every sentence of an answer arrives with it. */

import { html } from "../library/htm_preact.js";
import { capital } from "./examination.js";
import { change, state } from "./state.js";
import { SPOKEN } from "./words.js";

const WAITING = {
  none: "Answers follow the touches.",
  waiting: "Working it out…",
  "no signal": "No signal: answers come back with it. Everything is kept on this telephone.",
  "signed out": "Say who you are, and answers come back. Everything is kept on this telephone.",
  failed: "No answer just now; it is asked again after the next touch.",
  "to mend": "Something written does not read; see below.",
};

export function AnswerPanel() {
  const { answer, answerState, next, openAnswer } = state;
  const referral = answer?.referral;
  const level = referral ? referral.level : "unknown";
  const words = referral ? referral.words : WAITING[answerState] || WAITING.none;
  return html`<section class=${`answer ${level} ${answerState === "waiting" ? "old" : ""}`} aria-label="the answer so far">
    <button type="button" class="referral" aria-expanded=${openAnswer ? "true" : "false"} aria-controls="answer-more"
      onClick=${() => change({ openAnswer: !openAnswer })}>
      <span class="sign" aria-hidden="true">${{ emergency: "‼", prompt: "!", routine: "i", none: "·" }[level] || "…"}</span>
      <span>${words}</span><span class="turn" aria-hidden="true">${openAnswer ? "▴" : "▾"}</span></button>
    <div id="answer-more" class=${openAnswer ? "more open" : "more"} tabindex="0" role="group" aria-label="the whole answer">
      ${answer?.problems && html`<ul
        class="problems">${answer.problems.map((one) => html`<li>${one.sentence} ${one.hint}</li>`)}</ul>`}
      ${referral && html`<${Whole} answer=${answer} next=${next}/>`}
      ${!answer && html`<p>${WAITING[answerState] || WAITING.none}</p>`}
    </div>
  </section>`;
}

/** The name of a heading by its key; inner headings stand behind a stroke. */
const headingWords = (key) => state.exam.stations.find((one) => one.key === key)?.name.toLowerCase() || key.replaceAll("_", " ");

function Whole({ answer, next }) {
  const { referral } = answer;
  return html`
    ${referral.reasons.map((reason) => html`<p class="reason"><b>${reason.words}</b> ${reason.found && html`<span
      class="soft">${reason.found}</span>`}
      ${reason.stops.length > 0 && html`<br/>Stops: ${reason.stops.join(", ")}.`}</p>`)}
    ${referral.while_you_wait.length > 0 && html`<h2>While you wait</h2><ul>${referral.while_you_wait.map((line) => html`<li>${line}</li>`)}</ul>`}
    <p><b>${capital(answer.riding)}</b></p>
    <h2>Likely so far</h2>
    ${answer.likely.length ? html`<ul>${answer.likely.map((one) => html`<li>${one.words} <span
      class="soft">${one.firm || one.band}</span></li>`)}</ul>`
      : html`<p>${answer.account}</p>`}
    ${next && html`<h2>${next.stop ? "Nothing more to check before the veterinarian" : "What to check next"}</h2>
      <ul>${[...next.first, ...next.then].map((look) => html`<li><b>${look.name}${look.sides?.length ? `, ${look.sides.map((side) => SPOKEN[side] || side).join(" and ")}` : ""}</b>
        <span class="soft"> ${headingWords(look.heading)}</span> ${look.question} ${look.safety && html`<span
          class="care">${look.safety}</span>`}</li>`)}</ul>`}
    ${(answer.first_seconds || answer.not_checked.length > 0) && html`<h2>Not looked at</h2>`}
    ${answer.first_seconds && html`<p><b>Of the first sixty seconds:</b> ${answer.first_seconds}.</p>`}
    ${answer.not_checked.length > 0 && html`<p>${answer.not_checked.join(", ")}${answer.left_open ? `, and ${answer.left_open} more` : ""}.</p>`}
    ${answer.warnings.map((line) => html`<p class="warning">${line}</p>`)}
    <p class="soft">Rests on ${answer.rests_on}</p>`;
}
