/* Keeping the page itself on the telephone, so that it opens without a signal.

In: what the browser can do. Out: `state.shell`: "kept", "tab" (the open tab is all there is), or "" while not known.
Not here: the visits, which are kept in any case. */

import { change } from "./state.js";

const PATIENCE = 20_000; // ms until the page says that only the open tab holds it

export async function keepShell() {
  if (!("serviceWorker" in navigator)) {
    change({ shell: "tab" });
    return;
  }
  try {
    await navigator.serviceWorker.register("/service-worker.js", { scope: "/" });
    const late = new Promise((done) => setTimeout(done, PATIENCE, "tab"));
    change({ shell: await Promise.race([navigator.serviceWorker.ready.then(() => "kept"), late]) });
  } catch {
    // Without a signal the one that is there goes on; without one at all, the tab has to stay open.
    change({ shell: navigator.serviceWorker.controller ? "kept" : "tab" });
  }
}
