"use strict";
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
      time.removeAttribute("href");
    }
    player.hidden = true;
    document.querySelector(".clip-on").hidden = true;
    document.querySelector(".missing").hidden = false;
  };

  const joinTimes = (player) => {
    document.addEventListener("click", (event) => {
      const time = event.target.closest("a.time[href]");
      if (time) {
        event.preventDefault();
        player.currentTime = Number(time.dataset.at);
        player.play();
      }
    });
  };

  // Ticks stay in this browser. A browser that keeps nothing is no error: the tick lasts while the page is open.
  const keepTicks = () => {
    const key = `critsheet ${document.body.dataset.sheet}`;
    let ticks = {};
    try {
      ticks = JSON.parse(localStorage.getItem(key)) ?? {};
    } catch {
      ticks = {};
    }
    for (const box of document.querySelectorAll("input[data-note]")) {
      if (Object.hasOwn(ticks, box.dataset.note)) {
        box.checked = ticks[box.dataset.note] === true;
      }
      box.addEventListener("change", () => {
        ticks[box.dataset.note] = box.checked;
        try {
          localStorage.setItem(key, JSON.stringify(ticks));
        } catch {
          // Not kept.
        }
      });
    }
  };

  document.addEventListener("DOMContentLoaded", () => {
    const player = document.getElementById("recording");
    if (player) {
      joinTimes(player);
      missing.then(() => showMissing(player));
    }
    keepTicks();
  });
})();
