// New texts appear by themselves; without this file a reload shows them.
"use strict";
(function () {
  const thread = document.getElementById("thread");
  const none = document.getElementById("none");

  function piece(kind, words) {
    const made = document.createElement(kind === "said" ? "bdi" : "span");
    made.className = kind;
    if (kind === "said") made.dir = "auto";
    made.textContent = words;
    return made;
  }

  function bubble(text) {
    const made = document.createElement("li");
    made.className = (text.mine ? "mine" : "theirs") + (text.note ? " pending" : "");
    made.dataset.key = text.key;
    made.append(piece("from", text.mine ? "Phone" : "Office"), piece("said", text.text));
    made.append(piece("aside at", text.at));
    if (text.note) made.append(piece("aside note", text.note));
    return made;
  }

  let shown = "";
  function show(texts) {
    const now = JSON.stringify(texts);
    if (now === shown) return;
    const low = thread.scrollHeight - thread.scrollTop - thread.clientHeight < 40;
    const first = shown === "";
    shown = now;
    // Only what changed is touched, so that a reader of the page hears new texts alone.
    const there = new Map([...thread.children].map((item) => [item.dataset.key, item]));
    let last = null;
    for (const text of texts) {
      const made = bubble(text);
      const old = there.get(text.key);
      there.delete(text.key);
      if (old && old.isEqualNode(made)) { last = old; continue; }
      if (old) old.replaceWith(made);
      else if (last) last.after(made);
      else thread.prepend(made);
      last = made;
    }
    there.forEach((item) => item.remove());
    none.hidden = texts.length > 0;
    if (low || first) thread.scrollTop = thread.scrollHeight;
  }

  async function look() {
    try {
      const answer = await fetch(thread.dataset.source, { headers: { Accept: "application/json" } });
      if (answer.ok && !answer.redirected) show(await answer.json());
    } catch (away) { /* the next look may find the office again */ }
    setTimeout(look, 1500);
  }

  document.querySelectorAll(".keypad").forEach((pad) => {
    const entry = document.getElementById(pad.dataset.for);
    pad.hidden = false;
    pad.addEventListener("click", (event) => {
      const key = event.target.closest("button");
      if (!key) return;
      entry.value = key.dataset.wipe ? entry.value.slice(0, -1) : entry.value + key.dataset.key;
    });
  });

  thread.scrollTop = thread.scrollHeight;
  look();
})();
