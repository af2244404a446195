// While the example studio is made, the page says so; and the button is not pressed again.
"use strict";
(() => {
  const form = document.querySelector("[data-begins]");
  if (!form) {
    return;
  }
  const said = form.querySelector("[data-making]");
  const act = form.querySelector("button.primary");
  form.addEventListener("submit", () => {
    if (said) {
      said.hidden = new FormData(form).get("start") !== "example";
    }
    // After the browser has read the form.
    setTimeout(() => { act.disabled = true; }, 0);
  });
  addEventListener("pageshow", () => {
    if (said) {
      said.hidden = true;
    }
    act.disabled = false;
  });
})();
