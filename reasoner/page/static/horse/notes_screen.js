/* Notes, and a line spoken or typed: what was understood is shown back for a yes.

In: a line of words. Out: acts, after a yes; the rest as a note; without a signal the whole line as a note to be read later, which
is offered once there is one.
Not here: understanding a line (the records' machine does). Nothing is entered that was asked back or not said yes to. */

import { html, useEffect, useState } from "../library/htm_preact.js";
import { linesBefore, newAct } from "./acts.js";
import { NoSignal, Refused, posted } from "./asking.js";
import { actsOf, findWords, nameOf, offerWords, readBack } from "./understood.js";
import { Choice, isTap, moved } from "./parts.js";
import { act, openVisit, say, state } from "./state.js";
import { timeOf } from "./words.js";

export function NotesScreen({ visit, lookingAt, offered }) {
  const [line, setLine] = useState("");
  const [heard, setHeard] = useState(null);
  const [rest, setRest] = useState([]); // places of which the rest of their region is meant as well
  const read = async ({ id: of, text, looking_at: at }, answers = []) => {
    try {
      const earlier = linesBefore(openVisit(), of);
      const { body } = await posted("/api/line", { line: text, looking_at: at || null, earlier, ...(answers.length ? { answers } : {}) });
      if (!answers.length) setRest([]);
      say(body.asks?.length ? "Something is asked back." : "Understood; it waits for your yes.");
      setHeard({ finds: [], not_examined: [], asks: [], kept: [], withdrawn: [], called: {}, ...body, text, of, at, answers });
    } catch (fault) {
      if (fault instanceof NoSignal) say("No signal: the line is kept as it is, to be read later.");
      else if (fault instanceof Refused) say("The line could not be read now; it is kept as it is.");
      else throw fault;
    }
  };
  const sent = async (event) => {
    event.preventDefault();
    const text = line.trim();
    if (!text) return;
    const said = await act("line", { text, looking_at: lookingAt || null }); // kept before it is sent anywhere
    setLine("");
    await read(said);
  };
  const chosen = offered && visit.sum.lines.find((one) => one.id === offered);
  useEffect(() => {
    if (chosen && state.signal) read(chosen);
  }, [offered]);
  useEffect(() => {
    if (!heard || !scrollY) return;
    moved(); // a yes must not be tapped before all of it, from its first words on, has come into sight
    scrollTo(0, 0);
  }, [heard]);
  const done = async (yes) => {
    const acts = yes ? actsOf(state.exam, visit.sum, heard, rest) : [];
    // A question left open is no finding, and its words are not lost either.
    const open = heard.asks.map((ask) => `asked back and left open: ${aboutWords(ask, {})}, in “${heard.text}”`);
    const notes = yes ? [...heard.kept, ...open] : [heard.text];
    const all = [...acts, ...notes.map((text) => newAct("note", { text }))];
    all.push({ kind: "line_done", of: heard.of });
    await act("several", { acts: all, ...(yes ? { line: heard.text } : {}) }, yes ? "Entered." : "Kept as a note; nothing was entered.");
    setHeard(null);
  };
  const waiting = visit.sum.lines.filter((one) => one.id !== heard?.of);
  return html`<h1 tabindex="-1">Say it or type it</h1>
    ${heard && html`<${Heard} heard=${heard} visit=${visit} rest=${rest} onRest=${setRest} onDone=${done}
      onAnswer=${(ask, offer) => read({ id: heard.of, text: heard.text, looking_at: heard.at },
        [...heard.answers, { about: ask.about, kind: ask.kind, answer: offer }])}/>`}
    <form onSubmit=${sent} class="line-form">
      <label class="field"><span>A line, such as “loin left six flinched, right nothing”${lookingAt ? `; open now: ${state.exam.places[lookingAt]?.name}` : ""}</span>
        <textarea rows="2" value=${line} maxlength="500" enterkeyhint="done"
          onInput=${(event) => setLine(event.currentTarget.value)}></textarea></label>
      <div class="row"><button class="first" disabled=${!line.trim()}>Read it</button>
        <button type="button" disabled=${!line.trim()}
          onClick=${async () => { await act("note", { text: line.trim() }, "Kept as a note."); setLine(""); }}>Keep it as a note</button></div>
      <p class="soft">The microphone of the telephone's keyboard types what you say.</p>
    </form>
    ${waiting.length > 0 && html`<section><h2>Lines to be read later</h2><ul>${waiting.map((one) => html`<li
      key=${one.id}>“${one.text}” <span class="soft">${timeOf(one.at)}</span>
      <div class="row"><button type="button" aria-label=${`Read it now: ${one.text}`}
        onClick=${() => (state.signal ? read(one) : say("No signal yet: it stays as it is."))}>Read it now</button>
      <button type="button"
        onClick=${() => act("several", { acts: [{ kind: "line_done", of: one.id }, newAct("note", { text: one.text })] }, "Kept as a note.")}>Keep it as a note</button></div></li>`)}</ul></section>`}
    ${visit.sum.notes.length > 0 && html`<section><h2>Notes</h2><ul>${visit.sum.notes.map((one) => html`<li
      key=${one.id}>${one.text} <span class="soft">${timeOf(one.at)}</span>
      <div class="row"><button type="button"
        onClick=${() => act("note_gone", { of: one.id }, "The note was taken away.")}>take away</button></div></li>`)}</ul></section>`}`;
}

function Heard({ heard, visit, rest, onRest, onDone, onAnswer }) {
  const finds = readBack(state.exam, visit, heard, rest);
  const replaced = new Set(heard.finds.map((find) => `${find.at || find.entry} ${find.side}`));
  const back = heard.withdrawn.filter((find) => !replaced.has(`${find.at || find.entry} ${find.side}`));
  return html`<section class="heard" aria-label="what was understood">
    <h2>Understood of “${heard.text}”</h2>
    ${finds.length ? html`<ul>${finds.map((words) => html`<li><b>${words}</b></li>`)}</ul>` : html`<p>Nothing to enter.</p>`}
    ${back.length > 0 && html`<p>Taken back: ${back.map((find) => findWords(state.exam, find)).join("; ")}</p>`}
    ${heard.not_examined.filter((one) => one.rest).map((one) => html`<${Choice} small=${true} pressed=${rest.includes(one.at)}
      on=${() => onRest(rest.includes(one.at) ? rest.filter((key) => key !== one.at) : [...rest, one.at])}>
      left out as well: ${one.rest.map((key) => nameOf(state.exam, key)).join(", ")}<//>`)}
    ${heard.kept.length > 0 && html`<p>Kept as a note, not understood: ${heard.kept.map((text) => `“${text}”`).join(", ")}</p>`}
    ${heard.asks.map((ask) => html`<fieldset class="chips"><legend>${askWords(ask, heard.called)}</legend><p
      class="soft">Nothing of it is entered before it is answered.</p>
      ${ask.offers.map((offer) => html`<${Choice}
        on=${() => onAnswer(ask, offer)}>${offerWords(state.exam, offer)}<//>`)}</fieldset>`)}
    <div class="row">
      ${(finds.length > 0 || heard.withdrawn.length > 0) && html`<button type="button" class="first"
        onClick=${(event) => isTap(event) && onDone(true)}>Yes, enter it</button>`}
      <button type="button" onClick=${(event) => isTap(event) && onDone(false)}>
        ${finds.length ? "No, keep it as a note" : "Keep it as a note, as it is"}</button>
    </div></section>`;
}

const aboutWords = (ask, called) => ask.about.map((key) => nameOf(state.exam, key, called)).join(", ");

function askWords(ask, called) {
  const about = aboutWords(ask, called);
  return {
    side: `Which side: ${about}?`, place: `Which place: ${about}?`, reading: `What was meant by ${about}?`,
    verb: `The side, or left out: ${about}?`,
  }[ask.kind] || about;
}
