/* A heading of the examination: what it asks, each with its answers as large buttons.

In: a station and the visit so far. Out: acts, one a tap.
Not here: the body map. Nothing is chosen beforehand and nothing answers several questions at once: what was not touched was not
looked at. A tap on the chosen answer takes it back. */

import { html, useRef, useState } from "../library/htm_preact.js";
import { doneWords, Choice, moved } from "./parts.js";
import { lineDone, stationDone } from "./examination.js";
import { today } from "./acts.js";
import { act, state } from "./state.js";
import { SIDE, SPOKEN, answerWords } from "./words.js";

export function LinesScreen({ visit, station }) {
  const counts = stationDone(state.exam, station, visit.sum);
  const first = station.key === state.exam.first;
  return html`<h1 tabindex="-1">${first ? "The first sixty seconds" : station.name}</h1>
    <p class="soft">${station.says} <strong>${doneWords(counts)}.</strong></p>
    ${first && html`<p class="soft">One tap for each, when you have looked. Nothing is ticked beforehand.</p>`}
    <div class="lines">
      ${station.lines.map((line) => html`<${Line} key=${`${line.key} ${line.side}`} line=${line} entries=${visit.sum.entries}
        last=${visit.last[line.key]}/>`)}
    </div>`;
}

function Line({ line, entries, last }) {
  const box = useRef(null);
  const [how, setHow] = useState(false);
  const [asked, done] = lineDone(line, entries);
  const value = entries[line.key];
  const sides = line.kind === "leg" ? [line.side] : line.sides === "each" ? ["left", "right"] : [null];
  const answer = (side) => (side ? value?.[side] : value) || "";
  const put = async (side, text, event) => {
    const at = side ? `${line.name}, ${SPOKEN[side]}` : line.name;
    const byHand = event?.detail > 0;
    const done = await act("entry", (sum) => {
      const now = side ? sum.entries[line.key]?.[side] : sum.entries[line.key];
      return { key: line.key, side, value: now === text ? null : text };
    }, ({ value }) => (value ? `${at}: ${answerWords(text)}` : `${at}: left open again`));
    if (done.value && byHand && (side !== "left" || line.kind === "leg")) onward(box.current);
  };
  const name = `asks-${line.key}-${line.side}`;
  return html`<div ref=${box} role="group" aria-labelledby=${name} class=${`line ${done === asked ? "done" : ""}`}>
    <div class="asks"><b id=${name}>${line.kind === "leg" ? html`${SIDE[line.side]} ${line.name.replace(/^\S+ /, "")}` : line.ask || line.name}</b>
      ${line.how && html`<button type="button" class="how" aria-expanded=${how ? "true" : "false"}
        onClick=${() => setHow(!how)}>how?<span
          class="hidden"> ${line.name}${line.side ? `, ${SPOKEN[line.side]}` : ""}</span></button>`}</div>
    ${how && html`<p class="how-words">${line.how}</p>`}
    ${line.safety && html`<p class="care">${line.safety}</p>`}
    ${last && html`<p class="soft last">Last time: ${last}</p>`}
    ${sides.map((side) => html`<div class="answers" role="group"
        aria-label=${side ? `${line.name}, ${SPOKEN[side]}` : undefined}>
      ${side && line.kind !== "leg" && html`<b class="side">${SIDE[side]}</b>`}
      ${line.words.map((word) => html`<${Choice} pressed=${answer(side) === word}
        on=${(event) => put(side, word, event)}>${answerWords(word)}<//>`)}
      ${["number", "count", "date", "text"].includes(line.kind) &&
        html`<${Written} line=${line} side=${side} value=${answer(side)} put=${put}/>`}
    </div>`)}
  </div>`;
}

/** A number, a day or words: kept when the field is left. */
function Written({ line, side, value, put }) {
  const bare = line.unit && value.endsWith(` ${line.unit}`) ? value.slice(0, -line.unit.length - 1) : value;
  const shown = line.words.includes(value) ? "" : bare;
  const kept = (event) => {
    const text = event.currentTarget.value.trim();
    if (text === shown) return;
    const unit = line.unit && /^[\d.,/ ]+$/.test(text) ? ` ${line.unit}` : "";
    if (text) put(side, text.replace(/^(\d+),(\d+)$/, "$1.$2") + unit);
    else put(side, value);
  };
  const mode = { number: "decimal", count: "numeric" }[line.kind];
  const name = side ? `${line.name}, ${SPOKEN[side]}` : line.name;
  return html`<label class="written"><span>${line.kind === "date" ? "a day" : line.unit || (line.kind === "text" ? "in words" : "number")}</span>
    <input type=${line.kind === "date" ? "date" : "text"} inputmode=${mode} value=${shown} autocomplete="off"
      max=${line.kind === "date" ? today() : undefined} maxlength=${line.kind === "text" ? 300 : 20}
      aria-label=${line.unit ? `${name}, in ${line.unit}` : name} onChange=${kept}/></label>`;
}

/** Bring the next question that is open to where the thumb already is, clear of what stands on top. */
function onward(box) {
  let next = box.nextElementSibling;
  while (next?.classList.contains("done")) next = next.nextElementSibling;
  if (!next) return;
  const covers = [...document.querySelectorAll("header.top, .answer")].map((one) => one.getBoundingClientRect())
    .filter((one) => one.right > next.getBoundingClientRect().left && one.left <= next.getBoundingClientRect().left);
  const under = Math.max(0, ...covers.map((one) => one.bottom));
  scrollBy({ top: next.getBoundingClientRect().top - under - 6, behavior: "instant" });
  moved();
}
