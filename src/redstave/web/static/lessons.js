// Lessons: the bars that are hard, as the piano has them and as each entry has made them.

import { get } from "./ask.js";

for (const holder of document.querySelectorAll(".placed details")) {
  const pages = holder.querySelector(".pages");
  holder.addEventListener("click", (event) => {
    const button = event.target.closest(".show");
    if (button) show(holder, pages, button);
  });
}

async function show(holder, pages, button) {
  const same = button.getAttribute("aria-pressed") === "true";
  for (const one of holder.querySelectorAll(".show")) one.setAttribute("aria-pressed", "false");
  if (same) return pages.replaceChildren();
  button.setAttribute("aria-pressed", "true");
  pages.classList.add("waiting");
  try {
    const html = await get(button.dataset.from); // drawn and cleaned by the desk
    if (button.getAttribute("aria-pressed") === "true") pages.innerHTML = html;
  } catch (error) {
    pages.replaceChildren(Object.assign(document.createElement("p"), { textContent: error.message }));
  } finally {
    pages.classList.remove("waiting");
  }
  return undefined;
}
