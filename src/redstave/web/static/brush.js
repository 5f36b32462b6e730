// A brush over the bars of the whole piece: by mouse, by touch and by keys.
//
// The picture is `#piece`, made of `.panel`s that know their first and last bar, where the first
// begins and how wide a bar is, in shares of the picture's width.

export class Brush {
  // `onMove(brush)` is told of every move; `onPick()` of a click or Enter; `most` bars at once.
  constructor({ bars, sections, onMove, onPick, most = Infinity, keys = {} }) {
    Object.assign(this, { bars, sections, onMove, onPick, most, keys, from: 0, to: 0 });
    this.piece = document.getElementById("piece");
    this.panels = [...document.querySelectorAll(".panel")];
    this.watchPointer();
    this.piece.addEventListener("keydown", (event) => this.press(event));
  }

  get range() {
    return [Math.min(this.from, this.to), Math.max(this.from, this.to)];
  }

  get words() {
    const [first, last] = this.range;
    return first === last ? `Bar ${this.bars[first]}` : `Bars ${this.bars[first]} to ${this.bars[last]}`;
  }

  go(bar, { extend = false } = {}) {
    this.to = Math.max(0, Math.min(this.bars.length - 1, bar));
    if (!extend) this.from = this.to;
    if (Math.abs(this.to - this.from) >= this.most) this.from = this.to + (this.from < this.to ? 1 - this.most : this.most - 1);
    this.show();
  }

  show() {
    const [first, last] = this.range;
    this.piece.setAttribute("aria-valuenow", this.to);
    this.panels.forEach((panel) => lay(panel, first, last));
    this.onMove(this);
  }

  section(steps) {
    const here = this.sections.findLastIndex((first) => first <= this.to);
    const wish = steps < 0 && this.to > this.sections[here] ? here : here + steps;
    return this.sections[Math.max(0, Math.min(this.sections.length - 1, wish))] ?? 0;
  }

  press(event) {
    const extend = event.shiftKey;
    const deeds = {
      ArrowLeft: () => this.go(this.to - 1, { extend }),
      ArrowRight: () => this.go(this.to + 1, { extend }),
      PageUp: () => this.go(this.section(-1), { extend }),
      PageDown: () => this.go(this.section(1), { extend }),
      Home: () => this.go(0, { extend }),
      End: () => this.go(this.bars.length - 1, { extend }),
      Enter: () => this.onPick(),
      ...this.keys,
    };
    if (!(event.key in deeds) || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    deeds[event.key]();
  }

  watchPointer() {
    let held = null;
    this.piece.addEventListener("pointerdown", (event) => {
      const bar = barAt(event);
      if (bar === null || event.button) return;
      held = bar;
      this.go(bar);
    });
    this.piece.addEventListener("pointermove", (event) => {
      const bar = barAt(event);
      if (bar === null || bar === this.to) return;
      if (held !== null) {
        this.from = held;
        this.go(bar, { extend: true });
      } else if (event.pointerType === "mouse" && this.from === this.to && this.follows) {
        this.go(bar);
      }
    });
    addEventListener("pointerup", (event) => {
      if (held !== null && event.pointerType === "mouse") this.onPick(this.from !== this.to);
      held = null;
    });
  }
}

function lay(panel, first, last) {
  const { first: begins, last: ends, left, bar } = panel.dataset;
  const from = Math.max(first, +begins);
  const to = Math.min(last, +ends);
  let mark = panel.querySelector(".brush");
  if (from > to) {
    mark?.remove();
    return;
  }
  if (!mark) {
    mark = document.createElement("div");
    mark.className = "brush";
    panel.append(mark);
  }
  mark.style.left = `${100 * (+left + (from - begins) * bar)}%`;
  mark.style.width = `max(3px, ${100 * (to - from + 1) * bar}%)`;
}

function barAt(event) {
  const panel = event.target.closest(".panel");
  if (!panel) return null;
  const box = panel.getBoundingClientRect();
  const { first, last, left, bar } = panel.dataset;
  const at = Math.floor(((event.clientX - box.left) / box.width - left) / bar);
  return at < 0 ? null : Math.min(+last, +first + at);
}
