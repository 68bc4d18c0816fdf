"use strict";
// Leaves in sight the notes that are looked for, on the page and in the map.
(() => {
  const start = () => {
    const tools = document.getElementById("tools");
    if (!tools) {
      return;
    }
    tools.hidden = false;
    const notes = [...document.querySelectorAll(".note")];
    const choices = [...tools.querySelectorAll("select[data-filter]")];
    const words = document.getElementById("filter-text");
    const left = document.getElementById("filter-left");
    const shown = document.getElementById("shown");
    const texts = new Map(notes.map((note) => [note, readable(note)]));

    const fits = (note) => {
      const asked = words.value.toLowerCase().split(/\s+/).filter(Boolean);
      const open = !note.querySelector("input[id^=tick-]")?.checked && note.dataset.priority !== "keep";
      return (
        choices.every(({ value, dataset }) => !value || holds(note.dataset[dataset.filter], value, dataset.filter)) &&
        asked.every((word) => texts.get(note).includes(word)) &&
        // The note just ticked stays for a comment, until something else is done.
        (!left.checked || open || note.contains(document.activeElement))
      );
    };

    const show = () => {
      let count = 0;
      for (const note of notes) {
        const fit = fits(note);
        count += fit ? 1 : 0;
        note.hidden = !fit;
        for (const mark of document.querySelectorAll(`[data-for="${CSS.escape(note.dataset.note)}"]`)) {
          mark.classList.toggle("off", !fit);
        }
      }
      for (const group of document.querySelectorAll(".group")) {
        group.hidden = !group.querySelector(".note:not([hidden])");
      }
      const all = count === notes.length;
      const said = count ? shown.dataset.text.replace("{shown}", count).replace("{all}", notes.length) : shown.dataset.none;
      shown.textContent = all ? "" : said;
    };

    for (const choice of [...choices, left]) {
      choice.addEventListener("change", show);
    }
    words.addEventListener("input", show);
    document.addEventListener("ticked", show);
    document.getElementById("filter-clear").addEventListener("click", () => {
      for (const choice of choices) {
        choice.value = "";
      }
      words.value = "";
      left.checked = false;
      show();
    });
    // A link to a note that is out of sight brings all of them back.
    document.addEventListener("click", (event) => {
      const link = event.target.closest('a[href^="#note-"]');
      if (link && document.getElementById(link.getAttribute("href").slice(1))?.hidden) {
        document.getElementById("filter-clear").click();
      }
    });
    // The note under the hand is the one marked in the map.
    for (const kind of ["pointerover", "focusin"]) {
      document.addEventListener(kind, (event) => {
        const note = event.target.closest?.("[data-note], [data-for]");
        const id = note?.dataset.note ?? note?.dataset.for;
        for (const mark of document.querySelectorAll(".mark[data-for]")) {
          mark.classList.toggle("here", mark.dataset.for === id);
        }
      });
    }
    show();
  };

  const readable = (note) =>
    [...note.querySelectorAll(".number, .frames, .action, .facts, .said, .reasons")]
      .map((part) => part.textContent)
      .join(" ")
      .toLowerCase();

  const holds = (value, wanted, filter) =>
    filter === "subject" ? value === wanted : value.split(" ").includes(wanted);

  document.addEventListener("DOMContentLoaded", start);
})();
