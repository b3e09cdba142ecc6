/* The running order: every station of the examination in a few rows, with what is done and what is left, and the next open one.

In: the visit so far. Out: the way to a station or a region.
Not here: the stations themselves. The tiles keep their places whatever is done, so that the thumb finds them again. */

import { html } from "../library/htm_preact.js";
import { capital, nextOpen, regionDone, stationDone, stationName } from "./examination.js";
import { doneWords, go } from "./parts.js";
import { state } from "./state.js";

export function RoundScreen({ visit }) {
  const { exam } = state;
  const counted = exam.stations.filter((one) => one.kind !== "notes").map((one) => stationDone(exam, one, visit.sum));
  const whole = counted.filter(([asked, done]) => asked && done >= asked).length;
  const begun = counted.filter(([asked, done]) => done && done < asked).length;
  const next = nextOpen(exam, visit.sum);
  return html`<h1 tabindex="-1">The round</h1>
    <p class="round-sum"><b>${whole} of ${counted.length} parts done</b>${begun ? `, ${begun} begun` : ""}, ${counted.length - whole - begun} not begun.</p>
    ${next && html`<p><button type="button" class="first wide next-open" onClick=${() => go({ ...next.view, visit: visit.id })}>
      <span>Next open: ${next.name}</span><small>${doneWords(next.counts)}</small></button></p>`}
    ${visit.opening.length > 0 && html`<section
      class="opening"><h2>From the last visit</h2><ul>${visit.opening.map((line) => html`<li>${line}</li>`)}</ul></section>`}
    <ol class="stations">
      ${exam.stations.map((station) => html`<li key=${station.id} class=${station.kind === "hands" ? "all-across" : ""}>
        <${Tile} name=${stationName(exam, station)} counts=${stationDone(exam, station, visit.sum)}
          view=${{ at: "station", visit: visit.id, station: station.id }}/>
        ${station.kind === "hands" && html`<ul class="inner">${exam.regions.map((region) => html`<li key=${region.key}>
          <${Tile} name=${capital(region.name)} counts=${regionDone(exam, region, visit.sum)}
            view=${{ at: "region", visit: visit.id, region: region.key }}/></li>`)}</ul>`}</li>`)}
    </ol>
    <p class="soft">✓ all looked at, ◐ begun, ○ not begun.</p>
    <p><button type="button" class="wide"
      onClick=${() => go({ at: "finish", visit: visit.id })}>Finish the visit</button></p>`;
}

function Tile({ name, counts, view }) {
  const [asked, done] = counts;
  const mark = asked && done >= asked ? "all" : done ? "some" : "none";
  return html`<button type="button" class=${`station ${mark}`} onClick=${() => go(view)}>
    <span class="mark" aria-hidden="true">${{ all: "✓", some: "◐", none: "○" }[mark]}</span>
    <span><b>${name}</b> <small aria-hidden="true">${shortly(counts)}</small><span class="hidden">${doneWords(counts)}</span></span></button>`;
}

const shortly = ([asked, done]) => (!asked ? (done ? `${done}` : "") : done >= asked ? "all" : done ? `${done} of ${asked}` : `${asked} open`);
