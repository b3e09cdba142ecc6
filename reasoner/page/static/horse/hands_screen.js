/* The hands' own part: both sides of the horse on the map, and the regions of the examiner's round.

In: the visit so far. Out: whole regions marked quiet, the way into one region.
Not here: grading a place. A region is marked quiet only beside the names of what it covers; a place that was graded stays as it
was graded. */

import { html } from "../library/htm_preact.js";
import { BodyMap, pointsOf } from "./body_map.js";
import { capital, namesOf, regionDone, stationDone } from "./examination.js";
import { Choice, doneWords, go } from "./parts.js";
import { act, state } from "./state.js";
import { SIDE, SPOKEN } from "./words.js";

export function HandsScreen({ visit }) {
  const { exam } = state;
  const counts = stationDone(exam, { kind: "hands" }, visit.sum);
  const keys = Object.keys(exam.places);
  const open = (side) => (key) => go({ at: "region", visit: visit.id, region: exam.places[key].region, place: key, side });
  const sided = keys.filter((key) => exam.places[key].view === "side");
  const above = keys.filter((key) => exam.places[key].view === "above");
  return html`<h1 tabindex="-1">By hand, region by region</h1>
    <p class="soft">Tap the horse where a place is to be graded, or a region by its name. <strong>${doneWords(counts)}.</strong></p>
    <div class="maps">
      ${["left", "right"].map((side) => html`<${BodyMap} exam=${exam} sum=${visit.sum} view="side" side=${side}
        points=${pointsOf(exam, sided, side)} onPick=${open(side)}
        label=${`The ${SPOKEN[side]} side of the horse, facing ${side}. The regions below are the same by name.`}/>`)}
      <${BodyMap} exam=${exam} sum=${visit.sum} view="above" side="middle" points=${pointsOf(exam, above, "middle")}
        onPick=${open("middle")} label="The horse from above, the head to the left. The regions below are the same by name."/>
    </div>
    <ul class="regions">
      ${exam.regions.map((region) => html`<li key=${region.key}><${Region} visit=${visit} region=${region}/></li>`)}
    </ul>`;
}

function Region({ visit, region }) {
  const { exam } = state;
  return html`<h2><button type="button" class="open" onClick=${() => go({ at: "region", visit: visit.id, region: region.key })}>
      ${capital(region.name)} <span class="soft">${doneWords(regionDone(exam, region, visit.sum))}</span>
      <span aria-hidden="true">›</span></button></h2>
    <${Quiet} visit=${visit} region=${region}/>`;
}

/** What a quiet mark becomes when a side of it is tapped. */
function turned(now, side) {
  const rest = { left: "right", right: "left" };
  if (side === "both") return now === "both" ? null : "both";
  if (now === "both") return rest[side];
  if (now === side) return null;
  return now === rest[side] ? "both" : side;
}

/** Mark what the round covers of a region as felt and quiet, on one side or on both. */
export function Quiet({ visit, region, short }) {
  const { exam } = state;
  if (!region.round.length) {
    return html`<p class="soft">Nothing here belongs to the round; each place is graded by itself.</p>`;
  }
  const now = visit.sum.quiet[region.key] || null;
  const has = (side) => now === "both" || now === side;
  const put = (side) => {
    act("quiet", (sum) => ({ region: region.key, side: turned(sum.quiet[region.key] || null, side) }),
      ({ side: next }) => (next ? `${region.name}: felt and quiet, ${SPOKEN[next]}` : `${region.name}: no longer marked quiet`));
  };
  const single = region.round.every((key) => exam.places[key].sides === "midline");
  const middle = region.round.some((key) => exam.places[key].sides === "midline");
  const graded = region.round.filter((key) => visit.sum.places[key]);
  return html`<div class="quiet" role="group" aria-label=${`${region.name}: felt and quiet`}>
    <p class=${short ? "covers short" : "covers"}>Felt and quiet: ${namesOf(exam, region.round)}.
      ${graded.length > 0 && html` <em>What is graded stays: ${namesOf(exam, graded)}.</em>`}
      ${middle && !single && now && now !== "both" && html` <em>The middle line is covered by “both sides” alone.</em>`}</p>
    ${!single && html`<${Choice} pressed=${has("left")} on=${() => put("left")}
      label=${`${region.name} quiet, LEFT (near)`}>quiet ${SIDE.left}<//>`}
    <${Choice} pressed=${now === "both"} on=${() => put("both")} label=${`${region.name} quiet, both sides`}>quiet both sides<//>
    ${!single && html`<${Choice} pressed=${has("right")} on=${() => put("right")}
      label=${`${region.name} quiet, RIGHT (off)`}>quiet ${SIDE.right}<//>`}
  </div>`;
}
