// The few things every screen does by itself: count the slip down, and never
// show a page kept by the browser in a light that has since been changed.
"use strict";
(() => {
  const root = document.documentElement;
  const drawn = root.dataset.light;

  const lightNow = () => {
    const found = document.cookie.match(/(?:^|;\s*)light=(day|lamp|red)(?:;|$)/);
    return found ? found[1] : "day";
  };
  // A page the browser keeps is put away black and empty, and taken out again
  // only in the light of the moment.
  addEventListener("pagehide", (event) => {
    if (event.persisted) {
      root.classList.add("away");
    }
  });
  addEventListener("pageshow", (event) => {
    if (!event.persisted) {
      return;
    }
    if (lightNow() === drawn) {
      root.classList.remove("away");
    } else {
      location.reload();
    }
  });

  const clock = (ms) => {
    const s = Math.round(ms / 1000);
    return Math.floor(s / 60) + ":" + String(s % 60).padStart(2, "0");
  };
  // The page says how much was left when it was made; the device's own clock
  // counts from there, so that a device set wrong still counts right.
  const ends = new WeakMap();
  const tick = () => {
    for (const place of document.querySelectorAll("[data-left]")) {
      if (!ends.has(place)) {
        ends.set(place, Date.now() + Number(place.dataset.left));
      }
      const left = ends.get(place) - Date.now();
      place.textContent = left > 0 ? clock(left) : "run out";
    }
  };
  setInterval(tick, 1000);
  tick();
})();
