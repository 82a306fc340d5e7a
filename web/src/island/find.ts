// Sends the finder's form while someone types and puts the answer in place of the list.

const pause = 180; // ms without a key before asking

export function findAsYouType(then: () => void): void {
  const form = document.querySelector<HTMLFormElement>("form[data-finder]");
  if (!form) return;
  let timer = 0;
  let asked: AbortController | undefined;
  const ask = async (): Promise<void> => {
    asked?.abort();
    asked = new AbortController();
    const address = addressOf(form);
    try {
      const answer = await fetch(address, { signal: asked.signal, headers: { Accept: "text/html" } });
      if (answer.ok && replace(await answer.text())) {
        history.replaceState(null, "", address);
        then();
      }
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) form.submit();
    }
  };
  form.addEventListener("input", (event) => {
    clearTimeout(timer);
    timer = window.setTimeout(ask, event.target instanceof HTMLInputElement ? pause : 0);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearTimeout(timer);
    void ask();
  });
}

function addressOf(form: HTMLFormElement): string {
  const chosen = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string" && value.trim() !== "") chosen.set(name, value);
  }
  return chosen.size > 0 ? `/?${chosen}` : "/";
}

// What a search changes carries data-found and an id, in the answer as on the page.
function replace(text: string): boolean {
  const answer = new DOMParser().parseFromString(text, "text/html");
  const here = [...document.querySelectorAll("[data-found]")];
  const found = here.map((part) => answer.getElementById(part.id));
  if (found.some((part) => part === null)) return false;
  here.forEach((part, i) => part.replaceWith(document.adoptNode(found[i]!)));
  return true;
}
