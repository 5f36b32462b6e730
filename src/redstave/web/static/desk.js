// What every page does: paper or dark.

const light = document.getElementById("light");
const root = document.documentElement;

function isDark() {
  const wish = root.dataset.light;
  return wish ? wish === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
}

function show() {
  light.setAttribute("aria-pressed", String(isDark()));
}

if (light) {
  light.addEventListener("click", () => {
    root.dataset.light = isDark() ? "paper" : "dark";
    document.cookie = `redstave-light=${root.dataset.light}; path=/; max-age=31536000; samesite=lax`;
    show();
  });
  show();
}
