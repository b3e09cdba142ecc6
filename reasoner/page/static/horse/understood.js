/* What was understood of a line, as words to say yes to and as acts.

In: findings as the records' machine gives them, the visit so far. Out: sentences that say what each replaces; acts of the same kind
as a touch on the screen.
Not here: asking, screens. */

import { folded, newAct } from "./acts.js";
import { sidesOf, touchOf } from "./examination.js";
import { SIDE, answerWords } from "./words.js";

const plain = (word) => String(word).replaceAll("_", " ");

/** A place, an entry or a region by its name, with what it was called in the line: "withers (trap, trapezius)". */
export function nameOf(exam, key, called = {}) {
  const name = exam.places[key]?.name || exam.lines.get(key)?.name || exam.regions.find((one) => one.key === key)?.name || plain(key);
  return called[key] ? `${name} (${called[key]})` : name;
}

const atSide = (side) => (side ? ` · ${SIDE[side] || side}` : "");

/** One finding in words, with its side in large letters. */
export const findWords = (exam, find, called) =>
  `${nameOf(exam, find.at || find.entry || find.region, called)}${atSide(find.side)}: ${readingWords(find.reading)}`;

/** An answer that may be chosen, in words. */
export const offerWords = (exam, offer) => exam.places[offer]?.name || answerWords(plain(offer));

function readingWords(reading) {
  if (reading === null || typeof reading !== "object") return answerWords(plain(reading));
  return Object.entries(reading).map(([part, value]) =>
    part === "soreness" ? value : (Array.isArray(value) ? value : [value]).map(plain).join(", ")).join(", ");
}

/** Everything that a yes would write, one sentence each: what is new, what stood there before, and what stays as it is. */
export function readBack(exam, visit, heard, rest) {
  const after = folded({ ...visit, acts: [...visit.acts, newAct("several", { acts: actsOf(exam, visit.sum, heard, rest) })] });
  const rows = heard.finds.map((find) => {
    const was = standing(exam, visit.sum, find);
    const now = standing(exam, after, find);
    const name = `${nameOf(exam, find.at || find.entry, heard.called)}${atSide(find.side)}`;
    if (!was) return findWords(exam, find, heard.called);
    return was === now ? `${name}: ${now}, as it is written already` : `${name}: ${instead(was, now)}`;
  });
  return [...rows, ...passedRows(exam, visit.sum, after, heard),
    ...restOf(exam, heard, rest).flatMap((one) => passedWords(exam, visit.sum, after, one, {}))];
}

const instead = (was, now) => `was ${was}${was.includes(",") ? ";" : ","} becomes ${now}`;

/** What stands of a find's place or entry, in words. */
function standing(exam, sum, { at, entry, side }) {
  if (at) return touchOf(exam, sum, at, side || "middle").words;
  const value = sum.entries[entry];
  return answerWords((side && side !== "middle" ? value?.[side] : value) || "");
}

const MANY = 3; // more places than these, left out together, stand in one sentence: the yes must not lie far below

/** All that was left out. "Didn't do the hind legs" is one sentence with the names of its places, where nothing is written of them. */
function passedRows(exam, before, after, { not_examined: passed, called }) {
  const bare = passed.filter((one) => one.at && !spotsOf(exam, one).some(([key, side]) => touchOf(exam, before, key, side).words));
  const together = (one) => bare.filter((other) => bare.includes(one) && other.side === one.side);
  return passed.flatMap((one) => {
    const some = together(one);
    if (some.length <= MANY) return passedWords(exam, before, after, one, called);
    return one === some[0] ? [`not examined${atSide(one.side)}: ${some.map(({ at }) => nameOf(exam, at, called)).join(", ")}`] : [];
  });
}

/** What was left out: as one sentence where nothing was written there, else place by place. */
function passedWords(exam, before, after, one, called) {
  const name = nameOf(exam, one.at || one.entry || one.region, called);
  const spots = spotsOf(exam, one);
  if (!spots.some(([key, side]) => touchOf(exam, before, key, side).words)) return [`${name}${atSide(one.side)}: not examined`];
  return spots.map(([key, side]) => {
    const was = touchOf(exam, before, key, side).words;
    const now = touchOf(exam, after, key, side).words;
    const where = `${nameOf(exam, key, called)}${atSide(side)}`;
    if (!was) return `${where}: not examined`;
    return was === now ? `${where}: stays ${now}` : `${where}: ${instead(was, "not examined")}`;
  });
}

/** The places of a region whose name was said of one place of it, where somebody says that they are meant as well. */
const restOf = (exam, heard, rest) => heard.not_examined.filter((one) => one.rest && rest?.includes(one.at))
  .flatMap(({ rest: keys, side, reason }) => keys.map((at) => ({ at, side, reason })));

/** The acts of all findings of a line. */
export function actsOf(exam, sum, heard, rest) {
  const back = (heard.withdrawn || []).map((find) => find.at
    ? { kind: "touched", place: find.at, side: find.side || "middle", found: {} }
    : { kind: "entry", key: find.entry, side: find.side && find.side !== "middle" ? find.side : null, value: null });
  const found = heard.finds.flatMap((find) => (find.at ? ofPlace(find) : [ofEntry(find)]));
  const passed = [...heard.not_examined, ...restOf(exam, heard, rest)];
  return [...back, ...found, ...passed.flatMap((one) => ofPassed(exam, sum, one))];
}

const ofEntry = ({ entry, side, reading }) => ({ kind: "entry", key: entry, side: side && side !== "middle" ? side : null, value: plain(reading) });

function ofPlace({ at, side, reading }) {
  const parts = reading !== null && typeof reading === "object" ? reading : { soreness: reading };
  const where = { place: at, side: side || "middle" };
  if ([parts.response].flat().some((word) => word && plain(word) === "would not allow")) return [{ kind: "refused", ...where, value: true }];
  return Object.entries(parts).filter(([, value]) => value !== null && value !== "").map(([part, value]) => {
    if (part === "response" || part === "felt") return { kind: "touch", ...where, part, value: [value].flat().map(plain) };
    return { kind: "touch", ...where, part: plain(part).replaceAll(" ", "_"), value: plain(value) };
  });
}

/** The places meant by what was left out, on the sides meant: [place, side]. */
function spotsOf(exam, { at, region, side }) {
  const keys = at ? [at] : region ? exam.regions.find((one) => one.key === region)?.places || [] : [];
  return keys.flatMap((key) => sidesOf(exam.places[key])
    .filter((one) => one === "middle" || !side || side === "both" || side === one).map((one) => [key, one]));
}

/** What was not examined: the places meant, that nothing is written of. An entry stays open. */
const ofPassed = (exam, sum, one) => spotsOf(exam, one).filter(([key, side]) => !sum.places[key]?.[side])
  .map(([place, side]) => ({ kind: "not_examined", place, side, reason: plain(one.reason || "other") }));
