// Lets a person say what a patch of a photo is, by tapping or with the keyboard. The shares follow at once, by the
// arithmetic of the server (agronomy/cover), which does it again when the form is sent.

type Class = "green" | "residue" | "soil" | "unseen";
type Share = "green" | "residue" | "soil";
type Range = [value: number, low: number, high: number];
type Shares = Record<Share, Range>;

interface Patch extends Shares {
  class: Class;
  unseen: number;
  pixels: number;
}
interface Grid {
  columns: number;
  rows: number;
  side: number;
  width: number;
  height: number;
  fit: boolean;
  patches: Patch[];
}

const shares: Share[] = ["green", "residue", "soil"];
const classes: Class[] = ["green", "residue", "soil", "unseen"];
const words: Record<Class, string> = { green: "green leaves", residue: "residue", soil: "bare soil", unseen: "not to be seen" };
const eyeError = 0.05; // of a patch, what a person's word may be off

export function tellPatches(): void {
  const page = document.querySelector<HTMLElement>("[data-look]");
  if (!page) return;
  const quantiles = (page.dataset["quantiles"] ?? "").split(" ").map(Number);
  const boards = [...page.querySelectorAll<HTMLElement>("[data-photo]")].filter((p) => p.dataset["fit"] === "true" && p.querySelector("[data-told]"));
  const photos: Photo[] = [];
  const total = (): void => {
    if (photos.length !== boards.length) return;
    const all = combine(photos.map((p) => p.cover()), quantiles);
    for (const at of page.querySelectorAll<HTMLElement>("[data-all]")) at.textContent = written(all[at.dataset["all"] as Share]);
  };
  for (const at of boards) {
    void fetch(at.dataset["patches"]!)
      .then((answer) => (answer.ok ? (answer.json() as Promise<Grid>) : Promise.reject(new Error(answer.statusText))))
      .then((grid) => {
        photos.push(new Photo(at, grid, total));
        total();
      })
      .catch(() => undefined); // patches can be told by their names all the same
  }
}

// Photo is one photo on the page.
class Photo {
  private readonly told = new Map<number, Share>();
  private at = 0;
  private readonly board: HTMLElement;

  constructor(
    private readonly root: HTMLElement,
    private readonly grid: Grid,
    private readonly changed: () => void,
  ) {
    this.board = root.querySelector<HTMLElement>("[data-board]")!;
    for (const word of this.hidden.value.split(" ").filter(Boolean)) {
      const [name, to] = word.split(":");
      const patch = grid.patches.findIndex((_, i) => this.name(i) === name);
      if (patch >= 0) this.told.set(patch, to as Share);
    }
    this.listen();
    this.show();
  }

  cover(): Shares {
    return mean(this.grid.patches.map((p, i) => corrected(p, this.told.get(i))));
  }

  private get hidden(): HTMLInputElement {
    return this.root.querySelector<HTMLInputElement>("[data-told]")!;
  }

  private listen(): void {
    const name = `Patches of photo ${this.root.dataset["photo"]}: arrow keys move, Enter says what a patch is, Backspace takes it back`;
    this.board.setAttribute("role", "application");
    this.board.setAttribute("aria-label", name);
    this.board.tabIndex = 0;
    this.root.querySelector<HTMLElement>("[data-help]")!.hidden = false;
    const svg = this.board.querySelector("svg")!;
    svg.addEventListener("click", (event) => {
      const box = svg.getBoundingClientRect();
      const x = Math.floor((((event.clientX - box.left) / box.width) * this.grid.width) / this.grid.side);
      const y = Math.floor((((event.clientY - box.top) / box.height) * this.grid.height) / this.grid.side);
      this.at = limit(y, this.grid.rows) * this.grid.columns + limit(x, this.grid.columns);
      this.turn();
    });
    this.board.addEventListener("keydown", (event) => this.key(event));
    this.board.addEventListener("focus", () => this.say());
    const closer = this.root.querySelector<HTMLButtonElement>("[data-closer]")!;
    closer.addEventListener("click", () => {
      closer.setAttribute("aria-pressed", String(this.board.classList.toggle("close-up")));
      this.follow();
    });
  }

  private key(event: KeyboardEvent): void {
    const { columns, rows } = this.grid;
    const x = this.at % columns;
    const y = Math.floor(this.at / columns);
    const to: Record<string, [number, number]> = {
      ArrowLeft: [x - 1, y], ArrowRight: [x + 1, y], ArrowUp: [x, y - 1], ArrowDown: [x, y + 1], Home: [0, y], End: [columns - 1, y],
    };
    const next = to[event.key];
    if (next) {
      this.at = limit(next[1], rows) * columns + limit(next[0], columns);
      this.say();
      this.follow();
    } else if (event.key === "Enter" || event.key === " ") {
      this.turn();
    } else if (event.key === "Backspace" || event.key === "Delete") {
      this.told.delete(this.at);
      this.show();
      this.say();
    } else {
      return;
    }
    event.preventDefault();
  }

  // turn goes on to the next class: green, residue, soil, green.
  private turn(): void {
    const now = this.told.get(this.at) ?? this.grid.patches[this.at]!.class;
    this.told.set(this.at, now === "green" ? "residue" : now === "residue" ? "soil" : "green");
    this.show();
    this.say();
  }

  private name(i: number): string {
    let letters = "";
    for (let c = i % this.grid.columns; c >= 0; c = Math.floor(c / 26) - 1) letters = String.fromCharCode(65 + (c % 26)) + letters;
    return letters + (Math.floor(i / this.grid.columns) + 1);
  }

  private say(): void {
    const cursor = this.board.querySelector<SVGRectElement>("[data-cursor]")!;
    cursor.setAttribute("visibility", "visible");
    cursor.setAttribute("x", String((this.at % this.grid.columns) * this.grid.side));
    cursor.setAttribute("y", String(Math.floor(this.at / this.grid.columns) * this.grid.side));
    const p = this.grid.patches[this.at]!;
    const told = this.told.get(this.at);
    const text = told ? `you say ${words[told]}; it was taken for ${words[p.class]}` : `taken for ${words[p.class]}`;
    this.root.querySelector("[data-said]")!.textContent = `Patch ${this.name(this.at)}: ${text}.`;
  }

  // follow keeps the patch in sight when the photo is larger than its frame.
  private follow(): void {
    if (this.board.classList.contains("close-up")) this.board.querySelector("[data-cursor]")!.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  private show(): void {
    this.hidden.value = [...this.told].map(([i, to]) => `${this.name(i)}:${to}`).join(" ");
    const { columns, rows, side } = this.grid;
    const now = this.grid.patches.map((p, i) => mainOf(corrected(p, this.told.get(i))));
    const fill: Record<string, string> = {};
    const edge: Record<string, string> = {};
    const part = Math.floor(side / 3);
    let marks = "";
    const meet = (i: number, j: number, path: string): void => {
      const [a, b] = [classes.indexOf(now[i]!), classes.indexOf(now[j]!)];
      if (a !== b) edge[classes[Math.min(a, b)]!] = (edge[classes[Math.min(a, b)]!] ?? "") + path;
    };
    for (let i = 0; i < now.length; i++) {
      const [x, y] = [i % columns, Math.floor(i / columns)];
      fill[now[i]!] = `${fill[now[i]!] ?? ""}M${x * side} ${y * side}h${side}v${side}h-${side}z`;
      if (x + 1 < columns) meet(i, i + 1, `M${(x + 1) * side} ${y * side}v${side}`);
      if (y + 1 < rows) meet(i, i + columns, `M${x * side} ${(y + 1) * side}h${side}`);
      if (this.told.has(i)) marks += `M${x * side + part} ${y * side + part}h${part}v${part}h-${part}z`;
    }
    for (const path of this.board.querySelectorAll<SVGPathElement>("[data-fill]")) path.setAttribute("d", fill[path.dataset["fill"]!] ?? "");
    for (const path of this.board.querySelectorAll<SVGPathElement>("[data-edge]")) path.setAttribute("d", edge[path.dataset["edge"]!] ?? "");
    this.board.querySelector("[data-marks]")!.setAttribute("d", marks);
    const cover = this.cover();
    for (const at of this.root.querySelectorAll<HTMLElement>("[data-share]")) at.textContent = written(cover[at.dataset["share"] as Share]);
    this.changed();
  }
}

// corrected moves the share of the class that a patch was taken for to the class that it is.
function corrected(p: Patch, to: Share | undefined): Patch {
  if (!to) return p;
  const next: Patch = { ...p, green: [...p.green], residue: [...p.residue], soil: [...p.soil] };
  if (p.class === "unseen") {
    for (const s of shares) next[s][0] *= 1 - p.unseen;
    next[to][0] += p.unseen;
    next.unseen = 0;
  } else if (p.class !== to) {
    next[to][0] += next[p.class][0];
    next[p.class][0] = 0;
  }
  for (const s of shares) {
    next[s][1] = within(next[s][0] - eyeError);
    next[s][2] = within(next[s][0] + eyeError);
  }
  return next;
}

function mainOf(p: Patch): Class {
  if (p.unseen > 0.5) return "unseen";
  if (p.green[0] >= p.residue[0] && p.green[0] >= p.soil[0]) return "green";
  return p.residue[0] >= p.soil[0] ? "residue" : "soil";
}

// mean weighs patches by their pixels; what is unseen is taken to be covered as the rest is.
function mean(patches: Patch[]): Shares {
  const sum: Shares = { green: [0, 0, 0], residue: [0, 0, 0], soil: [0, 0, 0] };
  let known = 0;
  let all = 0;
  for (const p of patches) {
    const seen = p.pixels * (1 - p.unseen);
    known += seen;
    all += p.pixels;
    for (const s of shares) {
      sum[s][0] += p[s][0] * seen;
      sum[s][1] += p[s][1] * p.pixels;
      sum[s][2] += p[s][2] * p.pixels;
    }
  }
  for (const s of shares) {
    const r = sum[s];
    r[0] = known > 0 ? r[0] / known : 1 / 3;
    r[1] = Math.min(r[1] / all, r[0]);
    r[2] = Math.max(r[2] / all, r[0]);
  }
  return sum;
}

// combine takes the mean of photos: how they differ and how far the rules may be off add up by their squares.
function combine(photos: Shares[], quantiles: number[]): Shares {
  const n = photos.length;
  const one = (s: Share): Range => {
    const of = (i: number): number => photos.reduce((sum, p) => sum + p[s][i]! / n, 0);
    const [value, low, high] = [of(0), of(1), of(2)];
    const squares = photos.reduce((sum, p) => sum + (p[s][0] - value) ** 2, 0);
    const half = n > 1 ? quantiles[n - 2]! * Math.sqrt(squares / (n - 1) / n) : 0;
    return [value, within(value - Math.hypot(value - low, half)), within(value + Math.hypot(high - value, half))];
  };
  return { green: one("green"), residue: one("residue"), soil: one("soil") };
}

function within(x: number): number {
  return Math.min(1, Math.max(0, x));
}
function limit(x: number, most: number): number {
  return Math.min(most - 1, Math.max(0, x));
}

// written is "42 (30 to 55) %", a half to the even number.
function written([value, low, high]: Range): string {
  return `${points(value)} (${points(low)} to ${points(high)})\u202f%`;
}
function points(share: number): number {
  const x = 100 * share;
  const down = Math.floor(x);
  return x - down === 0.5 ? down + (down % 2) : Math.round(x);
}
