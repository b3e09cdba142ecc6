// Sending a report from the phone, by its own sharing.
// In: buttons that name a PDF of this machine. Out: the phone's own sheet with that file; where there is none the buttons stay
// hidden, and downloading and printing stand beside them. Not here: whether a report may leave (the server decides).

const MANY = 12 * 1024 * 1024; // bytes; a larger file is downloaded rather than kept ready

/** The PDF of a button as a file, fetched before it is pressed: sharing has to begin with the press itself. */
async function fileOf(button) {
  const answer = await fetch(button.dataset.share, { headers: { accept: "application/pdf" } });
  if (!answer.ok) throw new Error(String(answer.status));
  const held = await answer.blob();
  if (held.size > MANY) throw new Error("large");
  return new File([held], button.dataset.name, { type: "application/pdf" });
}

async function ready(button) {
  const told = button.closest("article").querySelector("[role=status]");
  const file = await fileOf(button);
  if (!navigator.canShare({ files: [file] })) return;
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      await navigator.share({ files: [file], title: button.dataset.title });
      told.textContent = "Handed to the phone.";
    } catch (fault) {
      told.textContent = fault.name === "AbortError" ? "Not sent." : "The phone did not take it; download it instead.";
    }
  });
}

if (navigator.share && navigator.canShare) {
  for (const button of document.querySelectorAll("[data-share]")) ready(button).catch(() => {});
}
