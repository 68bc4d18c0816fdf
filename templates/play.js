"use strict";
// Plays the recording from the times on the page, and takes their links away where there is no recording.
(() => {
  // This script stands in the head: a missing recording may be noticed before the rest of the page is read.
  const missing = new Promise((resolve) => {
    const seen = (event) => {
      if (event.target instanceof Element && event.target.matches("#recording > source:last-of-type")) {
        resolve();
      }
    };
    document.addEventListener("error", seen, true);
  });

  const showMissing = (player) => {
    for (const time of document.querySelectorAll("a.time")) {
      // A bracket of the map still leads somewhere: to its note.
      if (time.dataset.for) {
        time.setAttribute("href", `#note-${time.dataset.for}`);
        time.classList.remove("time");
      } else {
        time.removeAttribute("href");
        time.removeAttribute("aria-label");
      }
    }
    player.closest(".clip").hidden = true;
    document.getElementById("choose-time").hidden = true;
    const told = document.getElementById("missing");
    told.textContent = told.dataset.text;
  };

  const joinTimes = (player) => {
    const clip = player.closest(".clip");
    const away = document.getElementById("put-away");
    const dock = (docked) => {
      clip.classList.toggle("docked", docked);
      away.hidden = !docked;
    };
    document.addEventListener("click", (event) => {
      const time = event.target.closest("a.time[href]");
      if (time && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
        event.preventDefault();
        player.currentTime = Number(time.dataset.at);
        dock(true);
        player.play();
      }
    });
    away.addEventListener("click", () => {
      player.pause();
      dock(false);
    });
  };

  document.addEventListener("DOMContentLoaded", () => {
    const player = document.getElementById("recording");
    if (player) {
      joinTimes(player);
      missing.then(() => showMissing(player));
    }
  });
})();
