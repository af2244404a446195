// While a photograph is sent, the page says so and the button is not pressed again.
"use strict";
(() => {
  const form = document.querySelector("[data-sends]");
  if (!form) {
    return;
  }
  const said = form.querySelector("[data-sending]");
  const act = form.querySelector("button.primary");
  form.addEventListener("submit", (event) => {
    if (event.submitter && event.submitter !== act) {
      return;
    }
    const file = form.querySelector("input[type=file]");
    if (!file || file.files.length === 0) {
      return;
    }
    said.hidden = false;
    // After the browser has read the form: a disabled button would not be sent.
    setTimeout(() => { act.disabled = true; }, 0);
  });
  addEventListener("pageshow", () => {
    said.hidden = true;
    if (form.querySelector("input[type=file]")) {
      act.disabled = false;
    }
  });
})();
