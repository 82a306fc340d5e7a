// Opens the working of a claim in place. Numbers are buttons and open by themselves; a claim in words is a
// link to its slip, so that it can break at the end of a line, and is given a button's manners here.

export function openSlips(): void {
  if (!("showPopover" in HTMLElement.prototype)) return; // the links lead to the slips
  for (const link of document.querySelectorAll<HTMLAnchorElement>("a[data-slip]")) {
    link.setAttribute("role", "button");
  }
  document.addEventListener("click", (event) => {
    const link = claimAt(event.target);
    if (!link) return;
    event.preventDefault();
    open(link);
  });
  document.addEventListener("keydown", (event) => {
    const link = claimAt(event.target);
    if (!link || event.key !== " ") return;
    event.preventDefault();
    open(link);
  });
  openNamed();
  addEventListener("hashchange", openNamed);
}

function claimAt(target: EventTarget | null): HTMLAnchorElement | null {
  return target instanceof Element ? target.closest<HTMLAnchorElement>("a[data-slip]") : null;
}

function open(link: HTMLAnchorElement): void {
  const slip = document.getElementById(decodeURIComponent(link.hash.slice(1)));
  slip?.showPopover({ source: link });
}

// A page may be opened at a slip: /fields/x#w-advised.rate.
function openNamed(): void {
  const slip = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (slip?.matches(".slip[popover]:not(:popover-open)")) slip.showPopover();
}
