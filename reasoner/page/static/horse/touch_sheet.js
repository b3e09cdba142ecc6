/* One place on one side, under the thumb: its number from 0 to 10, and what else may be said of it.

In: a place, a side, the visit so far. Out: acts, each with place and side.
Not here: which place is next. The side stands in large words above the numbers and again in what is said after every tap; a wrong
side is put right with one tap, which moves what was written over, or exchanges the two sides. */

import { html, useState } from "../library/htm_preact.js";
import { touchOf } from "./examination.js";
import { Choice, isTap } from "./parts.js";
import { act, state } from "./state.js";
import { SIDE, SPOKEN } from "./words.js";

const GRADES = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10"];

export function TouchSheet({ visit, place, side, onSide, onClose }) {
  const { exam } = state;
  const [more, setMore] = useState(false);
  const { name, how, safety } = exam.places[place];
  const found = visit.sum.places[place]?.[side] || {};
  const told = touchOf(exam, visit.sum, place, side);
  const where = `${name}, ${SPOKEN[side]}`;
  const put = (part, value) => act("touch", (sum) => ({
    place, side, part, value: typeof value === "function" ? value(sum.places[place]?.[side]?.[part]) : value,
  }), ({ value: now }) => `${where}: ${Array.isArray(now) ? now.join(", ") || "no words" : now ?? "taken away"}`);
  const other = { left: "right", right: "left" }[side];
  const written = visit.sum.places[place];
  const both = Boolean(written?.left && written?.right);
  const exchange = async () => {
    await act("exchange", { place }, `${name}: ${both ? "left and right exchanged" : `moved to ${SPOKEN[other]}`}`);
    if (!both) onSide(other);
  };
  const half = found.soreness?.endsWith(".5");
  const whole = found.soreness?.replace(".5", "");
  const halved = () => put("soreness", (now) => (now.endsWith(".5") ? now.replace(".5", "") : `${now}.5`));
  return html`<section class=${`sheet ${side}`} aria-label=${where}>
    <header>
      <p><b class="big-side">${SIDE[side]}</b> <span class="sheet-name">${name}</span>
        <b class="told">${told.words || "not looked at"}</b></p>
      <button type="button" class="close" onClick=${onClose} aria-label=${`close ${where}`}>✕</button>
    </header>
    ${safety && html`<p class="care">${safety}</p>`}
    ${visit.last[place] && html`<p class="soft last">Last time: ${visit.last[place]}</p>`}
    <div class="pad" role="group" aria-label=${`soreness of ${where}, 0 to 10`}>
      ${GRADES.map((grade) => html`<button type="button" class=${`grade ${whole === grade ? "on" : ""}`}
        aria-pressed=${whole === grade ? "true" : "false"} aria-label=${`${grade}, ${where}`}
        onClick=${(event) => isTap(event) && put("soreness", grade)}>${grade}</button>`)}
      <button type="button" class=${`grade half ${half ? "on" : ""}`} aria-pressed=${half ? "true" : "false"}
        disabled=${!whole || whole === "10"} aria-label=${`a half more, ${where}`} onClick=${(event) => isTap(event) && halved()}>+½</button>
    </div>
    <div class="sheet-row">
      ${other && (written?.[side] || written?.[other]) && html`<button type="button"
        onClick=${(event) => isTap(event) && exchange()}>
        ${both ? "Exchange LEFT, RIGHT" : written[side] ? `Wrong side: to ${SIDE[other].split(" ")[0]}` : `Bring it from ${SIDE[other].split(" ")[0]}`}</button>`}
      <button type="button" aria-expanded=${more ? "true" : "false"} onClick=${() => setMore(!more)}>
        ${more ? "Less" : "More: answer, feel"}</button>
    </div>
    ${more && html`<${More} exam=${exam} found=${found} where=${where} how=${how} place=${place} side=${side} put=${put}/>`}
  </section>`;
}

function More({ exam, found, where, how, place, side, put }) {
  const { responses, felt, depth, not_examined: reasons } = exam.words;
  const flip = (part, word) => put(part, (list = []) => {
    if (list.includes(word)) return list.filter((one) => one !== word);
    return alone(word) ? [word] : [...list.filter((one) => !alone(one)), word];
  });
  const chips = (part, words, title) => html`<fieldset class="chips"><legend>${title}</legend>
    ${words.map((word) => html`<${Choice} small=${true} pressed=${(found[part] || []).includes(word)} on=${() => flip(part, word)}
      label=${`${word}, ${where}`}>${word}<//>`)}</fieldset>`;
  return html`<div class="more">
    ${chips("response", responses, "How it answered")}
    ${chips("felt", felt, "What the hand felt")}
    <fieldset class="chips"><legend>How deep</legend>${depth.map((word) => html`<${Choice} small=${true}
      pressed=${found.depth === word}
      on=${() => put("depth", found.depth === word ? null : word)} label=${`${word}, ${where}`}>${word}<//>`)}</fieldset>
    <fieldset class="chips"><legend>Or no number</legend>
      <${Choice} small=${true} pressed=${Boolean(found.refused)} label=${`would not allow touch, ${where}`}
        on=${() => act("refused", { place, side, value: !found.refused }, `${where}: would not allow touch`)}>would not allow touch<//>
      ${reasons.map((reason) => html`<${Choice} small=${true} pressed=${found.not_examined === reason}
        label=${`not examined: ${reason}, ${where}`}
        on=${() => act("not_examined", { place, side, reason: found.not_examined === reason ? null : reason }, `${where}: not examined, ${reason}`)}>
        not examined: ${reason}<//>`)}
    </fieldset>
    ${[["once_settled", "number once settled"], ["after_work", "number after work"], ["note", "note"]].map(([part, title]) => html`
      <label class="written"><span>${title}</span><input type="text" inputmode=${part === "note" ? undefined : "decimal"}
        value=${found[part] || ""} maxlength=${part === "note" ? 300 : 4} aria-label=${`${title}, ${where}`}
        onChange=${(event) => put(part, event.currentTarget.value.trim().replace(",", ".") || null)}/></label>`)}
    ${how && html`<details><summary>where and how: ${where}</summary><p>${how}</p></details>`}
  </div>`;
}

/** Words that say that there is nothing: they stand alone. */
const alone = (word) => word === "none" || word === "nothing";
