// A device of the local network asks to be let in: the code from the screen, or from its picture.

const byId = (id) => document.getElementById(id);

async function enter() {
  byId("problem").hidden = true;
  let words = "gripway does not answer. Is gripway serve still running?";
  try {
    const response = await fetch("/enter", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code: byId("code").value }) });
    if (response.ok) return location.replace("/");
    const { error } = await response.json();
    words = `${error.what}. ${error.next_step}`;
  } catch { /* the words above say it */ }
  byId("problem").textContent = words[0].toUpperCase() + words.slice(1);
  byId("problem").hidden = false;
  return byId("code").focus();
}

byId("enter").addEventListener("submit", (event) => { event.preventDefault(); enter(); });
const given = location.hash.slice(1);
if (given) {
  history.replaceState(null, "", "/"); // the code stays in no history
  byId("code").value = given;
  enter();
} else byId("code").focus();
