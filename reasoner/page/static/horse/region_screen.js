/* One region: the side, the places, and the number under the thumb.

In: a region, a side, the visit so far. Out: acts; each names its place and its side.
Not here: what else may be said of a place (touch_sheet). Nothing moves on by itself after a grade: the next tap of a tired thumb
must never grade another place. */

import { html } from "../library/htm_preact.js";
import { BodyMap, boxOf, pointsOf } from "./body_map.js";
import { capital, regionDone, sidesOf, touchOf } from "./examination.js";
import { Quiet } from "./hands_screen.js";
import { doneWords, stay } from "./parts.js";
import { state } from "./state.js";
import { TouchSheet } from "./touch_sheet.js";
import { SIDE, SPOKEN } from "./words.js";

const LETTERS = "abcdefghijklmnopqrstuvwxyz";

export function RegionScreen({ visit, view }) {
  const { exam } = state;
  const region = exam.regions.find((one) => one.key === view.region) || exam.regions[0];
  const offered = ["left", "middle", "right"].filter((side) =>
    region.places.some((key) => sidesOf(exam.places[key]).includes(side)));
  const side = offered.includes(view.side) ? view.side : offered[0];
  const keys = region.places.filter((key) => sidesOf(exam.places[key]).includes(side));
  const at = keys.includes(view.place) ? view.place : null;
  // Side and place stand in the address, so that a reload comes back to the very same place and side.
  const setSide = (next) => stay({ ...view, side: next });
  const setPicked = (key) => stay({ ...view, side, place: key || "" });
  const shown = exam.places[keys[0]]?.view || "side";
  const drawnKeys = keys.filter((key) => exam.places[key].view === shown);
  const points = pointsOf(exam, drawnKeys, side);
  const letters = Object.fromEntries(drawnKeys.map((key, n) => [key, LETTERS[n]]));
  return html`<div class="region">
    <h1 tabindex="-1">${capital(region.name)} <small class="soft">${doneWords(regionDone(exam, region, visit.sum))}</small></h1>
    <div class="sides" role="group" aria-label="the side of the horse">
      ${offered.map((one) => html`<button type="button" class=${`side-tab ${one} ${one === side ? "on" : ""}`}
        aria-pressed=${one === side ? "true" : "false"} onClick=${() => setSide(one)}>${SIDE[one]}</button>`)}
    </div>
    <div class="two">
      ${points.length > 0 && html`<${BodyMap} exam=${exam} sum=${visit.sum} view=${shown} side=${side} points=${points}
        box=${boxOf(points, shown === "above" ? 2.6 : 2.2)} letters=${letters} picked=${at} onPick=${setPicked}
        label=${`${region.name}, ${SPOKEN[side]}. The places stand below as buttons.`}/>`}
      <div class="places" role="group" aria-label=${`places of the ${region.name}, ${SPOKEN[side]}`}>
        ${keys.map((key) => html`<${PlaceButton} key=${key} at=${key} visit=${visit} side=${side} letter=${letters[key]}
          picked=${key === at} onPick=${setPicked}/>`)}
      </div>
    </div>
    <${Quiet} visit=${visit} region=${region}/>
    ${at && html`<${TouchSheet} key=${`${at} ${side}`} visit=${visit} place=${at} side=${side} onSide=${setSide}
      onClose=${() => setPicked(null)}/>`}
  </div>`;
}

function PlaceButton({ visit, at, side, letter, picked, onPick }) {
  const place = state.exam.places[at];
  const found = touchOf(state.exam, visit.sum, at, side);
  const other = { left: "right", right: "left" }[side];
  const beside = other ? touchOf(state.exam, visit.sum, at, other) : null;
  const words = found.words || "not looked at";
  return html`<button type="button" class=${`place ${picked ? "on" : ""} ${found.kind}`} aria-pressed=${picked ? "true" : "false"}
    aria-label=${`${place.name}, ${SPOKEN[side]}: ${words}`} onClick=${() => onPick(at)}>
    <span class="letter" aria-hidden="true">${letter || ""}</span>
    <span class="name">${place.name}${beside?.words && html`<small>${SIDE[other]}: ${beside.words}</small>`}</span>
    <span class="found" aria-hidden="true">${found.grade ?? (found.kind === "none" ? "" : found.kind === "refused" ? "!" : "–")}</span>
  </button>`;
}
