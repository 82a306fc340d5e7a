// Shows which field of the map a line of the list is, and the other way round, on hover and on focus.

export function linkListAndMap(): void {
  for (const kind of ["pointerover", "focusin"]) document.addEventListener(kind, (e) => mark(fieldAt(e.target)));
  for (const kind of ["pointerout", "focusout"]) document.addEventListener(kind, () => mark(null));
}

function fieldAt(target: EventTarget | null): string | null {
  return target instanceof Element ? (target.closest<HTMLElement>("[data-field]")?.getAttribute("data-field") ?? null) : null;
}

function mark(field: string | null): void {
  for (const element of document.querySelectorAll(".linked")) element.classList.remove("linked");
  if (field === null) return;
  for (const element of document.querySelectorAll(`[data-field="${CSS.escape(field)}"]`)) element.classList.add("linked");
}
