// The code that the camera read, put where it is sent from.
//
// In: what stands behind # in the address. Out: the field filled, the code out of the address, the button in focus.
// Not here: sending: whoever holds the telephone presses the button.

const code = decodeURIComponent(location.hash.slice(1)).replace(/[^0-9A-Za-z]/g, "").slice(0, 8);
if (code) {
  history.replaceState(null, "", location.pathname);
  const form = document.getElementById("pairing");
  form.querySelector("#code").value = code;
  form.querySelector("button").focus();
}
