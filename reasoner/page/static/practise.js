/* A case in practice: looks are found while one types, and the eye is led to what was just seen.
 *
 * In: the page as the server sent it. Out: looks hidden that do not hold what is typed; focus on the last reading.
 * Not here: anything of the case. Without this script the page works by its forms alone.
 */
const field = document.getElementById("find");
const told = document.getElementById("found");
const carried = document.getElementById("carried");
const groups = [...document.querySelectorAll(".looks .group")].map((box) => ({
  box, was: "here" in box.dataset, count: box.querySelector(".count"), looks: [...box.querySelectorAll("li")],
}));

function sifted() {
  const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  let found = 0;
  let every = 0;
  for (const group of groups) {
    let here = 0;
    for (const look of group.looks) {
      look.hidden = !words.every((word) => look.dataset.words.includes(word));
      here += !look.hidden;
    }
    group.box.hidden = !here;
    group.box.open = words.length ? here > 0 : group.was;
    group.count.textContent = String(here);
    found += here;
    every += group.looks.length;
  }
  told.textContent = words.length ? `${found} of ${every} looks` : `${every} looks may be made; both sides are looked at together.`;
  carried.value = field.value;
}

if (field && told && carried) {
  field.addEventListener("input", sifted);
  if (field.value !== field.defaultValue) sifted(); // typed before this script was here
}
const seen = document.getElementById("seen");
if (seen && window.location.hash === "#seen") {
  seen.focus();
}
