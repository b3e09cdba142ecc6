/* Small parts that several screens share: buttons that guard against a double tap, a quiet line of hints, the way on.

In: words and what to do. Out: pieces of a screen.
Not here: any one screen. */

import { html } from "../library/htm_preact.js";
import { change, state } from "./state.js";

const TWICE = 350; // ms: a second tap on the same button within this is the same tap
const MOVED = 450; // ms after the page moved under the thumb in which a tap is not taken
let lastTap = { on: null, at: -1e9 };
let movedAt = -1e9;

/** The page moved by itself: a tap that was already on its way must not answer something else. */
export function moved() {
  movedAt = performance.now();
}

/** Whether a click is a tap of its own. Keyboard and screen reader (detail 0) are never guarded against a moved page. */
export function isTap(event) {
  const now = performance.now();
  const same = lastTap.on === event.currentTarget && now - lastTap.at < TWICE;
  if (same || (event.detail > 0 && now - movedAt < MOVED)) return false;
  lastTap = { on: event.currentTarget, at: now };
  return true;
}

/** A button that answers something; pressed or not. */
export function Choice({ on, pressed, label, small, children, extra = "" }) {
  return html`<button type="button" class=${`choice ${extra} ${pressed ? "on" : ""} ${small ? "small" : ""}`}
    aria-pressed=${pressed ? "true" : "false"} aria-label=${label} onClick=${(event) => isTap(event) && on(event)}>
    <span class="tick" aria-hidden="true">${pressed ? "✓" : ""}</span>${children}</button>`;
}

const pathOf = (view) => Object.entries(view).filter(([, value]) => value)
  .map(([key, value]) => `${key}=${encodeURIComponent(value)}`).join("&");

/** Go to another screen of the page, so that the telephone's own way back works. */
export function go(view) {
  const path = pathOf(view);
  if (location.hash === `#${path}`) change({ view });
  else location.hash = path;
}

/** Another place or side on the same screen: no step for the way back. What was read of the answer is read: its place is wanted now. */
export function stay(view) {
  history.replaceState(null, "", `#${pathOf(view)}`);
  change({ view, openAnswer: false });
}

/** The screen that the address names. */
export function viewNow() {
  const parts = new URLSearchParams(location.hash.slice(1));
  return { at: "start", ...Object.fromEntries(parts) };
}

/** [asked, done] in words. */
export function doneWords([asked, done]) {
  if (!asked) return done ? `${done} written` : "";
  if (done >= asked) return "all looked at";
  return done ? `${done} of ${asked} done, ${asked - done} left` : `${asked} to look at`;
}

/** The station after this one that still has something to look at, or else the one after it. */
export function stationAfter(id) {
  const { stations } = state.exam;
  return stations[stations.findIndex((station) => station.id === id) + 1] || null;
}
