/* The page at the horse: what stands on every screen, and which screen is open.

In: the state. Out: the page.
Not here: the screens. */

import { html, render, useEffect, useState } from "../library/htm_preact.js";
import { AnswerPanel } from "./answer_panel.js";
import { whenHeard } from "./asking.js";
import { FinishScreen } from "./finish_screen.js";
import { keepTrying } from "./handing.js";
import { HandsScreen } from "./hands_screen.js";
import { LinesScreen } from "./lines_screen.js";
import { askLater, putAway } from "./live.js";
import { NotesScreen } from "./notes_screen.js";
import { isTap, go, stationAfter, stay, viewNow } from "./parts.js";
import { RegionScreen } from "./region_screen.js";
import { RoundScreen } from "./round_screen.js";
import { StartScreen, Where } from "./start_screen.js";
import { lastOf } from "./acts.js";
import { firstOpen, nextOpen, stationName } from "./examination.js";
import { ask, change, openVisit, say, state, undo, wakeUp, watch, whenActed } from "./state.js";
import { Unread } from "./unread.js";
import { SIDE, actWords } from "./words.js";
import { keepShell } from "./shell.js";

function Page() {
  const [, again] = useState(0);
  useEffect(() => watch(() => again((n) => n + 1)), []);
  const { view, exam } = state;
  const visit = openVisit();
  useEffect(() => {
    document.querySelector("h1")?.focus({ preventScroll: true });
    scrollTo(0, 0);
  }, [view.at, view.station, view.region, view.visit]);
  if (!exam) return html`<${Bare}/>`;
  const inside = visit && view.at !== "start";
  return html`
    <${Top} visit=${inside ? visit : null}/>
    <div class=${inside ? "desk" : ""}>
      ${inside && html`<${AnswerPanel}/>`}
      <div class="screen"><${News}/><${Unread} visit=${inside ? visit : null}/>${screenOf(view, visit)}</div>
    </div>
    ${inside && !visit.sum.finished && html`<${WayOn} view=${view} visit=${visit}/>`}`;
}

function screenOf(view, visit) {
  if (!visit || view.at === "start") return html`<${StartScreen}/>`;
  // A finished visit is looked at; whoever wants to change it opens it again first, and says so.
  if (view.at === "finish" || visit.sum.finished) return html`<${FinishScreen} visit=${visit}/>`;
  const station = state.exam.stations.find((one) => one.id === view.station) || state.exam.stations[0];
  if (view.at === "region") return html`<${RegionScreen} visit=${visit} view=${view}/>`;
  if (view.at === "notes") return html`<${NotesScreen} visit=${visit} lookingAt=${view.place} offered=${view.line}/>`;
  if (view.at !== "station") return html`<${RoundScreen} visit=${visit}/>`;
  if (station.kind === "hands") return html`<${HandsScreen} visit=${visit}/>`;
  if (station.kind === "notes") return html`<${NotesScreen} visit=${visit}/>`;
  return html`<${LinesScreen} key=${station.id} visit=${visit} station=${station}/>`;
}

/** Take the last act back; a grade that goes back to the other side takes the screen along, so that the next number stands there. */
async function takeBack() {
  const last = await undo((one) => actWords(state.exam, one));
  const { view } = state;
  if (last?.kind !== "exchange" || view.place !== last.place) return;
  const written = openVisit().sum.places[last.place] || {};
  const other = { left: "right", right: "left" }[view.side];
  if (written[view.side] || !written[other]) return;
  stay({ ...view, side: other });
  // One sentence with what was taken back: a second one would take its place before anybody could read or hear it.
  say(`Taken back: ${actWords(state.exam, last)}. It is on ${SIDE[other]} again`);
}

/** The horse, where its visit is kept, taking back, large type. */
function Top({ visit }) {
  return html`<header class="top">
    <p>${visit ? html`<b>${visit.horseName}</b> <${Where} visit=${visit}/>` : html`<a href="/">Start</a>`}</p>
    ${visit && !visit.sum.finished && html`<button type="button" class="undo" disabled=${!lastOf(visit)}
      onClick=${(event) => isTap(event) && takeBack()}>Take back</button>`}
    <button type="button" class="large-type" aria-pressed=${state.large ? "true" : "false"}
      onClick=${() => largeType(!state.large)}
      aria-label="large type, for gloves and sunlight">A<span class="bigger">A</span></button>
  </header>`;
}

/** What has just happened, for eye and ear; what went wrong stays until it is mended. */
function News() {
  return html`<div class="news">
    <p role="status" class="said">${state.said}</p>
    <div role="alert">${state.urgent && html`<p class="hidden">${state.urgent}</p>`}${state.alarm && html`<p
      class="alarm">${state.alarm}</p>`}</div>
    ${!state.keeps && html`<p
      class="alarm">This browser keeps nothing on this telephone, so nothing can be entered here. Leave private browsing and open the
      page again.</p>`}
    ${state.signedOut && html`<p
      class="alarm">The records want to know who you are. What was entered is kept on this telephone. <a href="/">Say who you are</a></p>`}
    ${state.shell === "tab" && html`<p
      class="note">Keep this tab open until the visit is handed over: over this connection the telephone cannot open the page again
      without a signal. What you enter is kept on the telephone either way.</p>`}
  </div>`;
}

/** The bar under the thumb: the round, a line, and on. */
function WayOn({ view, visit }) {
  const next = nextOf(view, visit);
  return html`<nav class="way-on" aria-label="the round">
    <button type="button" onClick=${() => go({ at: "round", visit: visit.id })}>Round</button>
    <button type="button"
      onClick=${() => go({ at: "notes", visit: visit.id, ...(view.place ? { place: view.place } : {}) })}>Say it</button>
    ${next && html`<button type="button" class="first"
      onClick=${() => (next.view ? go(next.view) : history.back())}><span>${next.before && html`<small>${next.before}</small> `}${next.name}</span> <span
        class="on" aria-hidden="true">›</span></button>`}
  </nav>`;
}

function nextOf(view, visit) {
  const { exam } = state;
  if (view.at === "region") {
    const next = exam.regions[exam.regions.findIndex((region) => region.key === view.region) + 1];
    const side = view.side ? { side: view.side } : {};
    if (next) return { before: "Next region:", name: next.name, view: { at: "region", visit: visit.id, region: next.key, ...side } };
  }
  if (view.at === "station" || view.at === "region") {
    const next = stationAfter(view.at === "region" ? "hands" : view.station);
    if (next) return { before: "Next:", name: stationName(exam, next), view: { at: "station", visit: visit.id, station: next.id } };
    return { name: "Finish", view: { at: "finish", visit: visit.id } };
  }
  if (view.at === "notes") return { name: "Back to where it was" };
  // While the first looks are open the way on leads to them; finishing stays possible below the round.
  const open = view.at === "round" && firstOpen(exam, visit.sum).names.length && nextOpen(exam, visit.sum);
  if (open) return { name: "Next open", view: { ...open.view, visit: visit.id } };
  return view.at === "finish" ? null : { name: "Finish", view: { at: "finish", visit: visit.id } };
}

function Bare() {
  if (!state.ready) return html`<p>Opening…</p>`;
  if (!state.signedOut) return html`<h1
    tabindex="-1">At the horse</h1><p>This telephone has not seen the examination yet and there is no signal. Open this
    page once where there is one; after that it works without.</p>`;
  return html`<h1 tabindex="-1">At the horse</h1><p>Say first who you are. <a class="big" href="/">To the start</a></p>`;
}

function largeType(large) {
  document.documentElement.classList.toggle("large", large);
  try {
    localStorage.setItem("large-type", large ? "yes" : "");
  } catch { /* it is only a liking */ }
  change({ large });
}

function follow() {
  const view = viewNow();
  const before = state.open;
  // An answer that was opened to be read is shut by the way on; one that an emergency opened stays.
  change({ view, open: view.visit || null, said: "", openAnswer: Boolean(state.urgent) && state.openAnswer });
  if (state.open !== before) state.open ? askLater() : putAway();
}

async function open() {
  let large = false;
  try {
    large = localStorage.getItem("large-type") === "yes";
  } catch { /* as above */ }
  largeType(large);
  whenHeard((signal) => state.signal !== signal && change({ signal }));
  addEventListener("offline", () => change({ signal: false }));
  addEventListener("online", () => { ask(); if (state.open) askLater(); });
  addEventListener("hashchange", follow);
  whenActed(() => askLater());
  render(html`<${Page}/>`, document.getElementById("page"));
  keepShell();
  await wakeUp();
  follow();
  await ask();
  keepTrying();
}

open();
