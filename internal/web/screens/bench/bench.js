// The bench: a further row appears as soon as one writes in the last, so that readings can go on.
"use strict";
(() => {
  const form = document.getElementById("measure");
  if (!form) {
    return;
  }
  form.classList.add("scripted");

  const grow = (list) => {
    const rows = list.querySelectorAll(".row");
    const last = rows[rows.length - 1];
    const texts = [...last.querySelectorAll('input[type="text"]')];
    if (texts.every((i) => i.value.trim() === "") || rows.length >= Number(list.dataset.most)) {
      return;
    }
    const next = last.cloneNode(true);
    const number = rows.length + 1;
    const renumber = (text) => text.replace(/_\d+(?=$|-)/, "_" + number);
    for (const e of next.querySelectorAll("[id], [name], [for], [aria-label], [aria-describedby]")) {
      for (const key of ["id", "name", "for", "aria-describedby"]) {
        if (e.hasAttribute(key)) {
          e.setAttribute(key, renumber(e.getAttribute(key)));
        }
      }
    }
    next.setAttribute("aria-label", next.getAttribute("aria-label").replace(/\d+$/, number));
    next.querySelector(".row-number").textContent = number;
    next.classList.remove("off");
    for (const input of next.querySelectorAll('input[type="text"]')) {
      input.value = "";
      input.removeAttribute("aria-invalid");
    }
    for (const input of next.querySelectorAll('input[type="radio"]')) {
      input.checked = last.querySelector(`input[value="${input.value}"]`)?.checked ?? false;
    }
    const said = next.querySelector(".said");
    if (said) {
      said.id = renumber(said.id);
      said.textContent = "";
    }
    last.after(next);
    form.elements.rows.value = number;
  };
  for (const list of form.querySelectorAll(".row-list")) {
    list.addEventListener("input", () => grow(list));
    grow(list);
  }

  // A page that the browser kept and shows again still names the reading it kept.
  addEventListener("pageshow", (event) => {
    if (event.persisted) {
      location.reload();
    }
  });
})();
