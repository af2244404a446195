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

  const twoFigures = (n) => String(n).padStart(2, "0");
  const clock = (s) =>
    (s >= 3600 ? Math.floor(s / 3600) + ":" + twoFigures(Math.floor(s / 60) % 60) : Math.floor(s / 60)) + ":" + twoFigures(s % 60);
  // The page says how much was left when it was made; the device's own clock
  // counts from there, so that a device set wrong still counts right.
  const ends = new WeakMap();
  const tick = () => {
    for (const place of document.querySelectorAll("[data-left]")) {
      if (!ends.has(place)) {
        ends.set(place, Date.now() + Number(place.dataset.left));
      }
      const left = ends.get(place) - Date.now();
      const of = place.dataset.of;
      place.textContent =
        left > 0 ? clock(Math.ceil(left / 1000)) + " of " + of + " left" : of + " time run out " + clock(Math.floor(-left / 1000)) + " ago";
    }
  };
  setInterval(tick, 1000);
  tick();
})();
