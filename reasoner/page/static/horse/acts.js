/* A visit as the list of what was touched, and what follows from it.

In: a visit record {id, day, starts, acts}. Out: a new act, and the fold of all acts: the draft that is handed over, and what the
screens need beside it.
Not here: where acts are kept, screens, the network. */

/** A name for ever, made from the telephone's own chance; also where the page came without a secure connection. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** One act: what was done, when, and a name so that it can be taken back and is never taken twice. */
export function newAct(kind, more = {}) {
  return { ...more, id: newId(), at: new Date().toISOString(), kind };
}

/** The day by the telephone's own clock, YYYY-MM-DD. */
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
}

/** The acts that still hold: those taken back, and the takings back, are left out. An act that came twice counts once. */
export function holding(acts) {
  const back = new Set(acts.filter((act) => act.kind === "undo").map((act) => act.of));
  const seen = new Set();
  return acts.filter((act) => {
    if (act.kind === "undo" || back.has(act.id) || seen.has(act.id)) return false;
    seen.add(act.id);
    return true;
  });
}

/** The last act that can be taken back, or null. */
export function lastOf(visit) {
  return holding(visit.acts).at(-1) || null;
}

/** The lines said yes to before this one was said, the last five: what a correction in it may mean. */
export function linesBefore(visit, of) {
  const at = (id) => visit.acts.findIndex((act) => act.id === id);
  const line = (act) => act.acts.find((one) => one.kind === "line_done")?.of;
  return holding(visit.acts).filter((act) => act.line && at(line(act)) < at(of)).slice(-5).map((act) => act.line);
}

/** Everything the acts of a visit come to. */
export function folded(visit) {
  const sum = { entries: {}, places: {}, quiet: {}, notes: [], lines: [], finished: null, chosen: null };
  for (const [key, value] of Object.entries(visit.starts || {})) sum.entries[key] = structuredCloneOf(value);
  for (const act of holding(visit.acts)) FOLDS[act.kind]?.(sum, act);
  sum.draft = draftOf(visit, sum);
  return sum;
}

const FOLDS = {
  entry(sum, { key, side, value }) {
    if (!side) return put(sum.entries, key, value);
    const both = { ...(typeof sum.entries[key] === "object" ? sum.entries[key] : {}) };
    put(both, side, value);
    put(sum.entries, key, Object.keys(both).length ? both : null);
  },
  touch(sum, { place, side, part, value }) {
    const found = { ...(sum.places[place]?.[side] || {}) };
    delete found.not_examined;
    delete found.refused;
    put(found, part, Array.isArray(value) && !value.length ? null : value);
    putTouch(sum, place, side, found);
  },
  touched(sum, { place, side, found }) {
    putTouch(sum, place, side, { ...found });
  },
  not_examined(sum, { place, side, reason }) {
    putTouch(sum, place, side, reason ? { not_examined: reason } : {});
  },
  refused(sum, { place, side, value }) {
    putTouch(sum, place, side, value ? { refused: true } : {});
  },
  exchange(sum, { place }) {
    const { left, right } = sum.places[place] || {};
    putTouch(sum, place, "left", right || {});
    putTouch(sum, place, "right", left || {});
  },
  quiet(sum, { region, side }) {
    put(sum.quiet, region, side);
  },
  note(sum, { id, at, text }) {
    sum.notes.push({ id, at, text });
  },
  note_gone(sum, { of }) {
    sum.notes = sum.notes.filter((note) => note.id !== of);
  },
  line(sum, { id, at, text, looking_at }) {
    sum.lines.push({ id, at, text, looking_at });
  },
  line_done(sum, { of }) {
    sum.lines = sum.lines.filter((line) => line.id !== of);
  },
  several(sum, { acts }) {
    // A line is entered once: where it was read in another tab meanwhile, what that one said yes to stands.
    const read = acts.find((act) => act.kind === "line_done");
    if (read && !sum.lines.some((line) => line.id === read.of)) return;
    for (const act of acts) FOLDS[act.kind]?.(sum, act);
  },
  finish(sum, { at }) {
    sum.finished = at;
  },
  reopen(sum) {
    sum.finished = null;
  },
  chosen(sum, { chosen }) {
    sum.chosen = chosen;
  },
};

function put(into, key, value) {
  if (value === null || value === undefined || value === "") delete into[key];
  else into[key] = value;
}

function putTouch(sum, place, side, found) {
  const sides = { ...(sum.places[place] || {}) };
  put(sides, side, Object.keys(found).length ? found : null);
  put(sum.places, place, Object.keys(sides).length ? sides : null);
}

function structuredCloneOf(value) {
  return value && typeof value === "object" ? { ...value } : value;
}

/** The draft as it is handed over. A line not read yet goes along as a note that says so. */
function draftOf(visit, sum) {
  const waiting = sum.lines.map((line) => `to be read later: ${line.text}`);
  const entries = { ...sum.entries };
  const day = entries.visit || visit.day;
  delete entries.visit;
  delete entries.notes;
  return {
    draft: visit.id, visit: day, entries, palpation: sum.places, quiet: sum.quiet,
    notes: [...sum.notes.map((note) => note.text), ...waiting],
  };
}
