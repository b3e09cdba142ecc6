/* The body map: our own drawing, the places on it, and what was found there.

In: a view, a side, the part of the drawing to show, points. Out: a picture; a tap on it names the nearest point.
Not here: grading, lists. The left view faces left, the right view is its mirror and faces right. The same places stand as
buttons beside the picture, so that nothing can only be reached by pointing. */

import { html, useRef } from "../library/htm_preact.js";
import { touchOf } from "./examination.js";
import { SIDE } from "./words.js";

const SIZE = { side: [800, 560], above: [800, 260] };
const CLOSE = 15; // units of the drawing; points nearer than this to each other stand one above the other

/** A point of a place on a side: where it lies on that side's view. */
export function pointAt(exam, key, side) {
  const { view, at: [x, y] } = exam.places[key];
  return { key, view, x: view === "side" && side === "right" ? SIZE.side[0] - x : x, y };
}

/** The points of these places, those that would cover each other moved apart. */
export function pointsOf(exam, keys, side) {
  const points = keys.map((key) => pointAt(exam, key, side)).sort((one, other) => one.x - other.x);
  points.forEach((point, at) => {
    const before = points[at - 1];
    if (before && Math.hypot(point.x - before.x, point.y - before.y) < CLOSE) point.y = before.y - 24;
  });
  return points;
}

/** The part of the drawing that holds these points, with air round them, as wide as `shape` (width by height) asks. */
export function boxOf(points, shape = 1.7) {
  const xs = points.map((point) => point.x);
  const ys = points.map((point) => point.y);
  const [full, tall] = SIZE[points[0].view];
  const air = 34;
  let width = Math.max(...xs) - Math.min(...xs) + 2 * air;
  let height = Math.max(...ys) - Math.min(...ys) + 2 * air;
  width = Math.max(width, height * shape);
  height = width / shape;
  const x = (Math.max(...xs) + Math.min(...xs) - width) / 2;
  const y = (Math.max(...ys) + Math.min(...ys) - height) / 2;
  return [clamp(x, width, full), clamp(y, height, tall), width, height];
}

const clamp = (start, length, full) => (length >= full ? (full - length) / 2 : Math.min(Math.max(start, 0), full - length));

/** One picture. `letters` names points that were not graded yet; `picked` is the key that stands out. */
export function BodyMap({ exam, sum, view, side, points, box, letters, picked, onPick, label }) {
  const picture = useRef(null);
  const [full, tall] = SIZE[view];
  const [x, y, width, height] = box || [0, 0, full, tall];
  const scale = width / 360;
  const tapped = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.current.getScreenCTM().inverse());
    const near = points.reduce((best, point) => (far(point, at) < far(best, at) ? point : best));
    onPick(near.key);
  };
  // The side stands beside the drawing and never on it: whatever is drawn, no mark lies under its words.
  return html`<div class="map">
    <span class="map-side" aria-hidden="true">${side === "middle" ? SIDE.right : SIDE[side]}</span>
    <svg ref=${picture} viewBox=${`${x} ${y} ${width} ${height}`} role="img" aria-label=${label} onClick=${onPick && tapped}>
      <g class="horse" transform=${view === "side" && side === "right" ? `translate(${full} 0) scale(-1 1)` : undefined}
        dangerouslySetInnerHTML=${{ __html: exam.drawings[view] }}></g>
      ${points.map((point) => html`<${Point} key=${point.key} point=${point} scale=${scale} picked=${point.key === picked}
        letter=${letters?.[point.key]} found=${touchOf(exam, sum, point.key, side)} small=${!letters}/>`)}
    </svg>
    ${side === "middle" && html`<span class="map-side" aria-hidden="true">${SIDE.left}</span>`}
  </div>`;
}

const far = (point, at) => Math.hypot(point.x - at.x, point.y - at.y);

const SIGNS = { refused: "!", passed: "–", noted: "✎", quiet: "·" };

/** One place: its letter, or what was found. Shape and sign say what colour says. */
function Point({ point, scale, letter, found, picked, small }) {
  const r = (small ? 7 : 12) * scale;
  if (small && (found.kind === "none")) return html`<circle class="point none" cx=${point.x} cy=${point.y} r=${r / 2.4}/>`;
  if (small && found.kind === "quiet") return html`<circle class="point quiet" cx=${point.x} cy=${point.y} r=${r / 1.8}/>`;
  const grade = found.kind === "graded" ? `g${Math.round(Number(found.grade) * 2)}` : "";
  return html`<g class=${`point ${found.kind} ${grade} ${picked ? "picked" : ""}`}>
    ${picked && html`<circle class="halo" cx=${point.x} cy=${point.y} r=${r * 1.45} stroke-width=${3 * scale}/>`}
    <circle class="badge" cx=${point.x} cy=${point.y} r=${r} stroke-width=${1.6 * scale}/>
    <text x=${point.x} y=${point.y} dy="0.36em" text-anchor="middle" font-size=${(small ? 10 : 14) * scale}>
      ${found.kind === "graded" ? found.grade : found.kind === "none" ? letter || "" : SIGNS[found.kind]}</text>
  </g>`;
}
