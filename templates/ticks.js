"use strict";
// Keeps ticks and comments: in this browser, and in a small file that critsheet reads back.
(() => {
  const SCHEMA = "critsheet-ticks/1";
  const MOST_BYTES = 1_000_000;
  const MOST_LETTERS = 2000;

  const start = () => {
    const sheet = document.body.dataset.sheet;
    const key = `critsheet ${sheet}`;
    const status = document.getElementById("ticks-status");
    const progress = document.getElementById("progress");
    const boxes = [...document.querySelectorAll("input[id^=tick-]")];
    if (!status) {
      return;
    }
    // What is ticked and said, by note; of two that differ the later one holds.
    const ticks = new Map();

    const say = (name, values = {}) => {
      status.textContent = status.dataset[name].replace(/\{(\w+)\}/g, (_, value) => values[value] ?? "");
    };

    const show = (box) => {
      const { done, comment } = ticks.get(noteOf(box));
      const words = wordsOf(box);
      box.checked = done;
      words.value = comment;
      mark(box);
    };

    const mark = (box) => {
      const words = wordsOf(box);
      const answer = words.closest("details");
      box.closest(".note").classList.toggle("done", box.checked);
      answer.classList.toggle("used", words.value !== "");
      if (box.checked || words.value) {
        answer.open = true;
      }
    };

    const count = () => {
      const done = boxes.filter((box) => box.checked).length;
      progress.textContent = progress.dataset.text.replace("{done}", done).replace("{all}", boxes.length);
      document.dispatchEvent(new Event("ticked"));
    };

    const asFile = () => ({
      schema: SCHEMA,
      sheet,
      saved: new Date().toISOString(),
      notes: Object.fromEntries([...ticks].filter(([, tick]) => tick.at)),
    });

    const keep = () => {
      try {
        localStorage.setItem(key, JSON.stringify(asFile()));
      } catch {
        say("notKept");
      }
    };

    const take = (notes) => {
      for (const box of boxes) {
        const [mine, theirs] = [ticks.get(noteOf(box)), notes[noteOf(box)]];
        if (theirs && when(theirs.at) >= when(mine.at)) {
          ticks.set(noteOf(box), {
            done: theirs.done,
            at: theirs.at,
            comment: (theirs.comment ?? "").slice(0, MOST_LETTERS),
          });
        }
        show(box);
      }
      count();
    };

    const changed = (box) => {
      ticks.set(noteOf(box), { done: box.checked, at: new Date().toISOString(), comment: wordsOf(box).value });
      mark(box);
      keep();
      count();
    };

    const open = async (file) => {
      let found;
      try {
        found = file.size > MOST_BYTES ? null : JSON.parse(await file.text());
      } catch {
        found = null;
      }
      if (isNewer(found)) {
        say("newer", { file: file.name });
      } else if (!isWhole(found)) {
        say("damaged", { file: file.name });
      } else if (found.sheet !== sheet) {
        say("otherSheet", { file: file.name });
      } else {
        const known = new Set(boxes.map(noteOf));
        const odd = Object.keys(found.notes).filter((note) => !known.has(note));
        if (odd.length > 0) {
          say("unknown", { file: file.name, notes: odd.slice(0, 5).join(", ") });
          return;
        }
        take(found.notes);
        keep();
        say("opened", { file: file.name, n: Object.keys(found.notes).length });
      }
    };

    const save = () => {
      const name = `ticks-${sheet}.json`;
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob([`${JSON.stringify(asFile(), null, 1)}\n`], { type: "application/json" }));
      link.download = name;
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
      say("saved", { file: name });
    };

    for (const box of boxes) {
      ticks.set(noteOf(box), { done: box.checked, at: box.dataset.at, comment: wordsOf(box).value });
      box.addEventListener("change", () => changed(box));
      wordsOf(box).addEventListener("input", () => changed(box));
    }
    const kept = () => {
      try {
        const found = JSON.parse(localStorage.getItem(key));
        return isWhole(found) ? found.notes : {};
      } catch {
        return {};
      }
    };
    take(kept());
    // Another window with the same sheet.
    window.addEventListener("storage", (event) => event.key === key && take(kept()));
    document.getElementById("ticks-save").addEventListener("click", save);
    document.getElementById("ticks-open").addEventListener("change", async (event) => {
      const [file] = event.target.files;
      if (file) {
        await open(file);
      }
      event.target.value = "";
    });
  };

  const noteOf = (box) => box.id.slice("tick-".length);
  const wordsOf = (box) => document.getElementById(`comment-${noteOf(box)}`);
  const when = (at) => Date.parse(at) || 0;

  const isNewer = (found) =>
    typeof found?.schema === "string" && found.schema.startsWith("critsheet-ticks/") && found.schema !== SCHEMA;

  const isWhole = (found) =>
    found?.schema === SCHEMA &&
    typeof found.sheet === "string" &&
    typeof found.notes === "object" &&
    found.notes !== null &&
    Object.values(found.notes).every(
      (tick) =>
        typeof tick?.done === "boolean" &&
        typeof tick.at === "string" &&
        ["string", "undefined"].includes(typeof tick.comment),
    );

  document.addEventListener("DOMContentLoaded", start);
})();
