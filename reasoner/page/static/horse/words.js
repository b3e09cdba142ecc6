/* The page's own small words: sides, times, what an act was.

In: keys and values. Out: words to read or hear. "Left" and "right" are always the horse's own and never stand without near and off.
Not here: words of the rulebook, which arrive with the examination. */

export const SIDE = { left: "LEFT (near)", right: "RIGHT (off)", middle: "MIDDLE", both: "both sides" };

/** A side as it is said within a sentence. */
export const SPOKEN = { left: "left (near)", right: "right (off)", middle: "middle line", both: "both sides" };

/** A clock time of an ISO moment on this telephone, with the day where it is another one. */
export function timeOf(iso) {
  const when = new Date(iso);
  const clock = when.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  return when.toDateString() === new Date().toDateString() ? clock : `${clock} on ${dayOf(iso)}`;
}

/** As every other page of ours writes a day, whatever the telephone is set to. */
export const dayOf = (iso) => new Date(iso).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });

/** A day written year first, in words; whatever the telephone's own zone is. */
export const plainDay = (iso) => dayOf(`${iso}T12:00:00`);

/** A word of an answer: a side with near or off beside it, a day in words. */
export function answerWords(word) {
  if (/^\d{4}-\d\d-\d\d$/.test(word)) return plainDay(word);
  return word === "left" || word === "right" ? SIDE[word] : word;
}

/** What an act was, for taking it back. */
export function actWords(exam, act) {
  const place = act.place && exam.places[act.place] ? exam.places[act.place].name : act.place;
  const at = act.side ? `, ${SPOKEN[act.side] || act.side}` : "";
  switch (act.kind) {
    case "entry": return `${exam.lines.get(act.key)?.name || act.key}${at}: ${act.value ? answerWords(act.value) : "left open"}`;
    case "touch": return `${place}${at}: ${Array.isArray(act.value) ? act.value.join(", ") || "no words" : act.value ?? "taken away"}`;
    case "not_examined": return `${place}${at}: not examined`;
    case "refused": return `${place}${at}: would not allow touch`;
    case "touched": return `${place}${at}`;
    case "exchange": return `${place}: left and right exchanged`;
    case "quiet": return `${act.region} quiet: ${act.side ? SPOKEN[act.side] : "no side"}`;
    case "note": return "a note";
    case "line": case "line_done": return "a line";
    case "several": return "what was understood of a line";
    case "finish": return "the visit was finished";
    case "reopen": return "the visit was opened again";
    default: return "the last touch";
  }
}
