/* Where a visit begins, and what is on this telephone.

In: the horses the records told of, the visits kept here. Out: a new visit, the way back into one, a visit taken off the telephone.
Not here: the examination. */

import { html, useState } from "../library/htm_preact.js";
import { folded, today } from "./acts.js";
import { NoSignal, fetched } from "./asking.js";
import { remember, remembered } from "./kept.js";
import { handOver, waits } from "./handing.js";
import { go } from "./parts.js";
import { begin, change, forget, say, state } from "./state.js";
import { plainDay, timeOf } from "./words.js";

export function StartScreen() {
  const [written, setExaminer] = useState(null); // null: nobody wrote here, and what is known meanwhile stands
  const [checkedBy, setChecker] = useState(null);
  const examiner = written ?? state.examiner ?? "";
  const checker = checkedBy ?? state.checker ?? "";
  const [blind, setBlind] = useState("");
  const [sought, setSought] = useState("");
  const [day, setDay] = useState(""); // empty: today, also on a page that was left open over midnight
  const horses = (state.horses || []).filter((horse) =>
    `${horse.name} ${horse.yard}`.toLowerCase().includes(sought.trim().toLowerCase()));
  const goIn = async (visit) => {
    const id = await begin(visit);
    if (!id) return;
    change({ open: id });
    go({ at: "station", visit: id, station: state.exam.stations[0].id });
  };
  const known = async (horse) => {
    const before = await staying(horse.horse);
    const starts = { name: horse.name, yard: horse.yard || "", ...(before?.stays || {}), ...hands };
    // Who grades blind is not led by last time's numbers either.
    const shown = blind.trim() ? {} : { opening: before?.opening, last: before?.last };
    await goIn({ horse: horse.horse, horseName: horse.name, starts: bare(starts), ...shown });
  };
  const answered = Boolean(state.hands?.answered_for); // an apprentice's visit: somebody else answers for it
  const hands = { examined_by: examiner, checked_by: answered ? checker : "", graded_blind_beside: blind, visit: day || today() };
  const lacking = whoLacks(examiner, answered, checker);
  const unfinished = state.visits.filter((visit) => !folded(visit).finished);
  return html`<h1 tabindex="-1">At the horse</h1>
    ${state.visits.length > 0 && html`<section><h2>On this telephone</h2>
      <ul class="visits">${state.visits.map((visit) => html`<${KeptVisit} key=${visit.id} visit=${visit}/>`)}</ul></section>`}
    <section><h2>Begin a visit</h2>
      <${Day} day=${day} onDay=${setDay}/>
      <label class="field"><span>Examined by</span><input value=${examiner} autocomplete="name" maxlength="120"
        onInput=${(event) => setExaminer(event.currentTarget.value)}/></label>
      ${answered && html`<label class="field"><span>Checked by: the practitioner who answers for it</span><input value=${checker}
        autocomplete="off" maxlength="120" onInput=${(event) => setChecker(event.currentTarget.value)}/></label>`}
      <details class="blind"><summary>Graded blind beside somebody</summary>
        <label class="field"><span>Beside whom, by the name they write there</span><input value=${blind} maxlength="120"
          autocomplete="off" onInput=${(event) => setBlind(event.currentTarget.value)}/></label>
        <p class="soft">Both examine the same horse on the same day, and each names the other here. What one hands over is held back
          from the other until both are in; last time's numbers are not shown beside this visit.</p></details>
      ${unfinished.length > 0 && html`<p class="soft">A visit that is open stays open; it can be gone on with above.</p>`}
      <h3>A horse of the records</h3>
      ${(state.horses || []).length > 8 && html`<label class="field"><span>Find</span><input type="search" value=${sought}
        onInput=${(event) => setSought(event.currentTarget.value)}/></label>`}
      ${!state.signal && state.horsesAt && html`<p
        class="soft">No signal: these are the horses as this telephone last saw them, at ${timeOf(state.horsesAt)}.</p>`}
      ${horses.length === 0 && html`<p
        class="soft">${(state.horses || []).length ? "None by that name." : "This telephone knows of none yet."}</p>`}
      <ul class="horses">${horses.slice(0, 30).map((horse) => html`<li key=${horse.horse}>
        <button type="button" class="first wide" disabled=${Boolean(lacking)} onClick=${() => known(horse)}>
          <b>${horse.name}</b><small>${[horse.yard, horse.last && `last seen ${plainDay(horse.last)}`].filter(Boolean).join(", ")}</small></button></li>`)}</ul>
      ${horses.length > 30 && html`<p class="soft">${horses.length - 30} more: find them by name.</p>`}
      ${lacking && html`<p class="soft">${lacking}</p>`}
      <h3>A new horse</h3>
      <${NewHorse} ready=${!lacking} onBegin=${(starts) =>
        goIn({ horse: null, horseName: starts.name, starts: bare({ ...starts, ...hands }) })}/>
    </section>`;
}

/** What has to be said before a visit begins; empty where nothing lacks. */
function whoLacks(examiner, answered, checker) {
  if (!examiner.trim()) return "Say first whose hands examine the horse.";
  const one = (name) => (name || "").trim().replace(/\s+/g, " ").toLowerCase();
  if (!answered || (one(checker) && ![examiner, state.hands.name].map(one).includes(one(checker)))) return "";
  return "Say first who answers for it: the practitioner who checks this visit before anything of it leaves, and not who examines.";
}

/** The day of the visit: today, until somebody says otherwise. */
function Day({ day, onDay }) {
  const [asked, setAsked] = useState(false);
  const now = day || today();
  // Not every telephone holds its own calendar to `max`, and a visit of a day to come could never be handed over.
  const chosen = (event) => {
    const wanted = event.currentTarget.value;
    if (wanted <= today()) return onDay(wanted);
    event.currentTarget.value = now;
    return say(`${plainDay(wanted)} has not come yet; the day stays as it was`);
  };
  return html`<div class="day-row"><p>Day of the visit: <b>${now === today() ? "today, " : ""}${plainDay(now)}</b></p>
    <button type="button" aria-expanded=${asked ? "true" : "false"} onClick=${() => setAsked(!asked)}>Another day</button>
    ${asked && html`<label class="field"><span>Day of the visit</span><input type="date" value=${now} max=${today()}
      onChange=${chosen}/></label>`}</div>`;
}

const bare = (starts) => Object.fromEntries(Object.entries(starts)
  .map(([key, value]) => [key, typeof value === "string" ? value.trim() : value]).filter(([, value]) => value));

function NewHorse({ ready, onBegin }) {
  const [name, setName] = useState("");
  const [yard, setYard] = useState(state.yard || "");
  const sent = (event) => {
    event.preventDefault();
    if (ready && name.trim()) onBegin({ name, yard });
  };
  return html`<form onSubmit=${sent}>
    <label class="field"><span>Its name</span><input value=${name} maxlength="80" autocomplete="off"
      onInput=${(event) => setName(event.currentTarget.value)}/></label>
    <label class="field"><span>Yard</span><input value=${yard} maxlength="120" autocomplete="off"
      onInput=${(event) => setYard(event.currentTarget.value)}/></label>
    <button class="first wide" disabled=${!ready || !name.trim()}>Begin with ${name.trim() || "a new horse"}</button>
  </form>`;
}

/** What stays from the last visit: from the records, or as this telephone last heard it. */
async function staying(horse) {
  try {
    const { body } = await fetched(`/api/again/${encodeURIComponent(horse)}`, { patience: 3000 });
    await remember(`again ${horse}`, body);
    return body;
  } catch (fault) {
    const kept = await remembered(`again ${horse}`);
    if (!kept && fault instanceof NoSignal) {
      say("No signal: what stays from the last visit is not on this telephone. It can be written by hand, or left out.");
    }
    return kept;
  }
}

/** One visit on this telephone, and where its words are kept. */
function KeptVisit({ visit }) {
  const sum = folded(visit);
  const open = () => {
    change({ open: visit.id });
    go(sum.finished ? { at: "finish", visit: visit.id } : { at: "round", visit: visit.id });
  };
  return html`<li class="visit">
    <p><b>${visit.horseName}</b>, begun ${timeOf(visit.begun)}<br/><${Where} visit=${visit}/></p>
    <div class="row">
      <button type="button" class=${sum.finished ? "" : "first"} onClick=${open}>${sum.finished ? "Look at it" : "Go on"}<span
        class="hidden"> with ${visit.horseName}</span></button>
      ${waits(visit) && !visit.conflict && !visit.toMend && html`<button type="button" disabled=${state.handing === visit.id}
        onClick=${() => handOver()}>Hand over now</button>`}
      ${visit.handed && !waits(visit) && html`<button type="button"
        onClick=${() => forget(visit.id).catch(() => {})}>Take off this telephone</button>`}
    </div></li>`;
}

/** What is saved where, in plain words. */
export function Where({ visit }) {
  const sum = folded(visit);
  const later = visit.handed && visit.handed.acts !== visit.acts.length;
  if (visit.handed && !later) return html`<span
    class="where records">✓ kept in the records of ${visit.handed.horse} at ${timeOf(visit.handed.at)}</span>`;
  const here = later ? `changes since ${timeOf(visit.handed.at)} are kept on this telephone only` : "kept on this telephone only";
  let next = "";
  if (visit.conflict) next = ": something has to be decided first";
  else if (visit.toMend) next = ": something has to be mended first";
  else if (sum.finished) next = state.handing === visit.id ? ", being handed over" : ", finished, waits to be handed over";
  return html`<span class="where phone">${here}${next}</span>`;
}
