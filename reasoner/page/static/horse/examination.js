/* The examination as the records lay it out, made ready for the screens: stations in walking order, places with their regions.

In: the answer of /api/examination. Out: the same with `stations`, and what is done and left of each.
Not here: drawing, asking. Every word, place and order comes from the rulebook. */

const HANDS = new Set(["palpation", "between_the_spinous_processes"]);
const PAPER = new Set(["top", "horse"]); // what was written at the beginning; looked at again at the end
const OWN = new Set(["notes"]); // written on the page of notes

/** The examination with its stations: the first sixty seconds first, then headings in walking order, the hands as one,
 * what is written about visit and horse last. */
export function learn(exam) {
  const stations = [];
  let hands = false;
  for (const heading of exam.headings) {
    if (HANDS.has(heading.key)) {
      if (!hands) stations.push({ id: "hands", kind: "hands", name: "By hand, region by region" });
      hands = true;
    } else {
      addHeading(stations, heading, "");
    }
  }
  const first = stations.findIndex((station) => station.key === exam.first);
  if (first > 0) {
    const before = stations.splice(0, first);
    stations.splice(1, 0, ...before.filter((station) => !PAPER.has(station.key)));
    stations.push(...before.filter((station) => PAPER.has(station.key)));
  }
  stations.push({ id: "notes", kind: "notes", name: "Notes" });
  const lines = new Map();
  for (const station of stations) for (const line of station.lines || []) lines.set(line.key, line);
  return { ...exam, stations, lines };
}

function addHeading(stations, heading, above) {
  const lines = heading.lines.filter((line) => !OWN.has(line.key));
  if (lines.length) {
    const parted = above ? `${above}, ${heading.name}` : heading.name;
    const own = heading.key === "top" ? lines.map((line) => line.name).slice(0, 2).join(", ") : parted;
    stations.push({
      id: `s${stations.length}`, kind: "lines", key: heading.key, lines, says: heading.says,
      name: capital(own),
    });
  }
  for (const inner of heading.inner || []) addHeading(stations, inner, heading.name);
}

export const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

/** How many things a line asks for, and how many of them are written. */
export function lineDone(line, entries) {
  const value = entries[line.key];
  if (line.kind === "leg") return [1, value?.[line.side] ? 1 : 0];
  if (line.sides === "each") return [2, (value?.left ? 1 : 0) + (value?.right ? 1 : 0)];
  return [1, value ? 1 : 0];
}

/** [asked, done] of a station. */
export function stationDone(exam, station, sum) {
  if (station.kind === "notes") return [0, sum.notes.length + sum.lines.length];
  const parts = station.kind === "hands"
    ? exam.regions.map((region) => regionDone(exam, region, sum))
    : station.lines.map((line) => lineDone(line, sum.entries));
  return parts.reduce(([asked, done], [a, d]) => [asked + a, done + d], [0, 0]);
}

/** A station as it is called. */
export const stationName = (exam, station) => (station.key === exam.first ? "The first sixty seconds" : station.name);

/** The first station in walking order, or region of the hands' part, with something left: {name, counts, view}; null at the end. */
export function nextOpen(exam, sum) {
  for (const station of exam.stations) {
    const counts = stationDone(exam, station, sum);
    if (counts[1] >= counts[0]) continue;
    if (station.kind !== "hands") return { name: stationName(exam, station), counts, view: { at: "station", station: station.id } };
    const region = exam.regions.find((one) => isOpen(regionDone(exam, one, sum)));
    return { name: `by hand, ${region.name}`, counts: regionDone(exam, region, sum), view: { at: "region", region: region.key } };
  }
  return null;
}

const isOpen = ([asked, done]) => done < asked;

/** What nobody has looked at of the first sixty seconds, by name; and the station. */
export function firstOpen(exam, sum) {
  const station = exam.stations.find((one) => one.key === exam.first);
  const names = (station?.lines || []).filter((line) => isOpen(lineDone(line, sum.entries))).map((line) => line.name);
  return { station, names: [...new Set(names)], of: station?.lines.length || 0 };
}

/** The sides a place has. */
export const sidesOf = (place) => (place.sides === "midline" ? ["middle"] : ["left", "right"]);

/** Whether a quiet mark covers this place on this side. */
export function quietCovers(exam, sum, key, side) {
  const region = exam.regions.find((one) => one.key === exam.places[key].region);
  const quiet = region && region.round.includes(key) && sum.quiet[region.key];
  return quiet === "both" || (Boolean(quiet) && quiet === side);
}

/** What stands of a place on a side: {words, grade, kind}; kind is none, graded, quiet, refused, passed or noted. */
export function touchOf(exam, sum, key, side) {
  const found = sum.places[key]?.[side];
  if (!found) return quietCovers(exam, sum, key, side) ? { kind: "quiet", grade: "0", words: "quiet" } : { kind: "none", words: "" };
  if (found.refused) return { kind: "refused", words: "would not allow touch" };
  if (found.not_examined) return { kind: "passed", words: `not examined: ${found.not_examined}` };
  const rest = [...(found.response || []), ...(found.felt || []), found.depth, found.note && "a note"].filter(Boolean);
  if (found.soreness === undefined) return { kind: "noted", words: rest.join(", ") };
  return { kind: "graded", grade: found.soreness, words: [found.soreness, ...rest].join(", ") };
}

/** [asked, done] of a region: what the round covers, and whatever else was written there. */
export function regionDone(exam, region, sum) {
  let asked = 0;
  let done = 0;
  for (const key of region.places) {
    for (const side of sidesOf(exam.places[key])) {
      const is = touchOf(exam, sum, key, side).kind !== "none";
      if (region.round.includes(key) || is) asked += 1;
      if (is) done += 1;
    }
  }
  return [asked, done];
}

/** Names of places in words. */
export const namesOf = (exam, keys) => keys.map((key) => exam.places[key].name).join(", ");
