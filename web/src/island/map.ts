// Lets the map be moved and enlarged: by dragging, by pinching, with the wheel while Ctrl is held, with
// buttons, and with the keys + - 0 and the arrows.

interface View {
  x: number;
  y: number;
  width: number;
  height: number;
}

const closest = 12; // how many times the map may be enlarged
const step = 1.6;

export function moveMap(): void {
  const frame = document.querySelector<HTMLElement>("[data-window]");
  const map = frame?.querySelector<SVGSVGElement>("[data-map]");
  if (!frame || !map || frame.dataset["moves"]) return;
  frame.dataset["moves"] = "yes";
  const whole = viewOf(map);
  let view = { ...whole };

  const show = (next: View): void => {
    view = within(next, whole);
    map.setAttribute("viewBox", `${view.x} ${view.y} ${view.width} ${view.height}`);
    const times = whole.width / view.width;
    map.style.setProperty("--times", String(times));
    map.classList.toggle("near", times > 2.4);
  };
  const enlarge = (by: number, cx = 0.5, cy = 0.5): void => {
    const width = Math.min(whole.width, Math.max(whole.width / closest, view.width / by));
    const height = (width * whole.height) / whole.width;
    show({ width, height, x: view.x + (view.width - width) * cx, y: view.y + (view.height - height) * cy });
  };
  const shift = (dx: number, dy: number): void => show({ ...view, x: view.x + dx * view.width, y: view.y + dy * view.height });

  frame.parentElement?.querySelector("[data-steps]")?.append(buttons(enlarge, () => show({ ...whole })));
  frame.addEventListener("keydown", (event) => {
    const act: Record<string, () => void> = {
      "+": () => enlarge(step),
      "=": () => enlarge(step),
      "-": () => enlarge(1 / step),
      "0": () => show({ ...whole }),
      ArrowLeft: () => shift(-0.15, 0),
      ArrowRight: () => shift(0.15, 0),
      ArrowUp: () => shift(0, -0.15),
      ArrowDown: () => shift(0, 0.15),
    };
    const go = act[event.key];
    if (!go || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    go();
  });
  frame.addEventListener(
    "wheel",
    (event) => {
      if (!event.ctrlKey) return; // the wheel alone scrolls the page
      event.preventDefault();
      const box = map.getBoundingClientRect();
      enlarge(Math.exp(-event.deltaY / 300), (event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
    },
    { passive: false },
  );
  drag(map, shift, enlarge);
  // A field that is reached with the keyboard comes into view.
  map.addEventListener("focusin", (event) => {
    if (!(event.target instanceof SVGGraphicsElement) || view.width >= whole.width) return;
    const box = event.target.getBBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const seen = x > view.x && x < view.x + view.width && y > view.y && y < view.y + view.height;
    if (!seen) show({ ...view, x: x - view.width / 2, y: y - view.height / 2 });
  });
}

function viewOf(map: SVGSVGElement): View {
  const { x, y, width, height } = map.viewBox.baseVal;
  return { x, y, width, height };
}

function within(v: View, whole: View): View {
  return {
    ...v,
    x: Math.min(Math.max(v.x, whole.x), whole.x + whole.width - v.width),
    y: Math.min(Math.max(v.y, whole.y), whole.y + whole.height - v.height),
  };
}

function buttons(enlarge: (by: number) => void, whole: () => void): HTMLElement {
  const group = document.createElement("div");
  group.className = "steps";
  const add = (sign: string, name: string, act: () => void): void => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = sign;
    button.setAttribute("aria-label", name);
    button.addEventListener("click", act);
    group.append(button);
  };
  add("+", "Enlarge the map", () => enlarge(step));
  add("−", "Reduce the map", () => enlarge(1 / step));
  add("all", "The whole map", whole);
  return group;
}

// A finger that moves up or down still scrolls the page until the map is enlarged: see touch-action.
function drag(map: SVGSVGElement, shift: (dx: number, dy: number) => void, enlarge: (by: number, cx: number, cy: number) => void): void {
  const held = new Map<number, PointerEvent>();
  let moved = 0;
  map.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, event);
    moved = 0;
  });
  addEventListener("pointerup", (event) => held.delete(event.pointerId));
  addEventListener("pointercancel", (event) => held.delete(event.pointerId));
  map.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const box = map.getBoundingClientRect();
    const others = [...held.values()].filter((p) => p.pointerId !== event.pointerId);
    const [dx, dy] = [event.clientX - before.clientX, event.clientY - before.clientY];
    moved += Math.hypot(dx, dy);
    const other = others[0];
    if (other) {
      const apart = (p: PointerEvent): number => Math.hypot(p.clientX - other.clientX, p.clientY - other.clientY);
      enlarge(apart(event) / Math.max(apart(before), 1), (other.clientX - box.left) / box.width, (other.clientY - box.top) / box.height);
    } else {
      shift(-dx / box.width, -dy / box.height);
    }
    held.set(event.pointerId, event);
  });
  map.addEventListener("dragstart", (event) => event.preventDefault());
  map.addEventListener("click", (event) => {
    if (moved > 6) event.preventDefault(); // the end of a drag is not a choice
  });
}
