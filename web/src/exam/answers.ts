// The controls of one answer: reading, setting, and keeping their looks true.

/** The radio buttons, fields and lists of a path. */
export function controlsOf(form: HTMLFormElement, path: string): HTMLElement[] {
  const named = form.elements.namedItem(path);
  if (named instanceof RadioNodeList) return [...named].filter((n) => n instanceof HTMLElement);
  return named instanceof HTMLElement ? [named] : [];
}

/** The value recorded at a path of a few words, or "". */
export function valueOf(form: HTMLFormElement, path: string): string {
  const named = form.elements.namedItem(path);
  if (named instanceof RadioNodeList) return named.value;
  return named instanceof HTMLInputElement || named instanceof HTMLSelectElement ? named.value : "";
}

/** Whether anything is recorded at a path. */
export function recorded(form: HTMLFormElement, path: string): boolean {
  return controlsOf(form, path).some((c) => {
    if (c instanceof HTMLInputElement && (c.type === "radio" || c.type === "checkbox")) return c.checked && c.value !== "";
    return "value" in c && c.value !== "";
  });
}

/** Whether the question is asked: its place is there, its row is in sight. */
export function asked(form: HTMLFormElement, path: string): boolean {
  const control = controlsOf(form, path)[0];
  if (!control || control.closest("[hidden]")) return false;
  const row = control.closest<HTMLElement>("[data-protocols]");
  return !row || (row.dataset["protocols"] ?? "").split(" ").includes(protocolOf(form));
}

export function protocolOf(form: HTMLFormElement): string {
  return new FormData(form).get("protocol")?.toString() ?? "";
}

/** Records a value; "" takes the answer back. */
export function record(form: HTMLFormElement, path: string, value: string): void {
  for (const c of controlsOf(form, path)) {
    if (c instanceof HTMLInputElement && (c.type === "radio" || c.type === "checkbox")) c.checked = c.value === value;
    else if (c instanceof HTMLSelectElement || c instanceof HTMLInputElement || c instanceof HTMLTextAreaElement) c.value = value;
  }
  const first = controlsOf(form, path)[0];
  if (first) refresh(first);
}

/** Brings the word on "Other" and on folded lists in line with the answer. */
export function refresh(control: Element): void {
  const more = control.closest(".choice")?.querySelector(".more");
  const word = more?.querySelector<HTMLElement>(".more-word");
  if (more && word) {
    const chosen = more.querySelector<HTMLInputElement>(".more-list input:checked:not([value=''])");
    word.textContent = chosen?.nextElementSibling?.textContent?.trim() ?? word.dataset["word"] ?? "Other";
  }
  const list = control.closest(".checks");
  const told = list?.querySelector<HTMLElement>(".checks-word");
  if (list && told) {
    const words = [...list.querySelectorAll("input:checked")].map((i) => i.nextElementSibling?.textContent?.trim() ?? "");
    told.textContent = words.length > 0 ? words.join(", ") : "Choose";
  }
}

/** Shows the sites of the chosen protocol, and every site with a result. */
export function showProtocol(form: HTMLFormElement): void {
  const protocol = protocolOf(form);
  for (const row of form.querySelectorAll<HTMLElement>("[data-protocols]")) {
    const inside = protocol === "" || (row.dataset["protocols"] ?? "").split(" ").includes(protocol);
    const results = row.querySelectorAll("input:checked:not([value=''])").length;
    row.hidden = !inside && results === 0;
  }
}

/** Once the last row of a list is used, an empty one follows. */
export function growList(row: HTMLElement): void {
  const list = row.closest<HTMLElement>("[data-list]");
  const rows = list ? [...list.querySelectorAll<HTMLElement>("[data-row]")] : [];
  const last = rows.at(-1);
  if (!list || last !== row || ![...row.querySelectorAll("select")].some((s) => s.value !== "")) return;
  const path = list.dataset["list"] ?? "";
  const fresh = row.cloneNode(true) as HTMLElement;
  const from = `${path}.${rows.length - 1}.`;
  const to = `${path}.${rows.length}.`;
  for (const element of [fresh, ...fresh.querySelectorAll(":not(option)")]) {
    for (const { name, value } of [...element.attributes]) {
      if (value.includes(from)) element.setAttribute(name, value.replaceAll(from, to));
    }
  }
  for (const control of fresh.querySelectorAll<HTMLInputElement | HTMLSelectElement>("input, select")) {
    control.value = "";
    if (control instanceof HTMLSelectElement) control.selectedIndex = 0;
  }
  for (const note of fresh.querySelectorAll(".field-problems")) note.replaceChildren();
  row.after(fresh);
}
