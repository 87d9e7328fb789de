// The exam page with a script: live result, autosave, one-touch blocks, keys.
import { growList, record, refresh, showProtocol } from "./answers";
import { startClock } from "./clock";
import { startFeet } from "./feet";
import { startKeys } from "./keys";
import { startLift } from "./lift";
import { Live } from "./live";
import { startNormal } from "./normal";

/** Starts the page. unsent: its answers may not be at the server yet. */
export function startExam(form: HTMLFormElement, unsent = false): Live {
  const live = new Live(form, `/exam/${encodeURIComponent(form.dataset["exam"] ?? "")}`, unsent);
  const changed = afterTouch(() => {
    form.dispatchEvent(new Event("recorded"));
    live.changed();
  });

  form.addEventListener("change", (event) => {
    if (!(event.target instanceof HTMLElement)) return;
    const control = event.target;
    refresh(control);
    if (control instanceof HTMLInputElement && control.name === "protocol") showProtocol(form);
    const row = control.closest<HTMLElement>("[data-row]");
    if (row) growList(row);
    closeOthers(form, control);
    changed();
  });
  form.addEventListener("input", changed);

  takeBack(form, changed);
  startNormal(form, changed);
  startKeys(form, changed);
  startClock(form);
  startFeet(form, changed);
  startLift(form);

  // Only lists that are open are looked at: every touch comes by here.
  const open = new Set<HTMLDetailsElement>();
  form.addEventListener(
    "toggle",
    (event) => {
      if (!(event.target instanceof HTMLDetailsElement) || !event.target.matches(".choice .more")) return;
      if (event.target.open) open.add(event.target);
      else open.delete(event.target);
    },
    true,
  );
  document.addEventListener("click", (event) => {
    const inside = event.target instanceof Element ? event.target.closest(".choice .more") : null;
    for (const list of open) {
      if (list !== inside) list.open = false;
    }
  });
  form.addEventListener("keydown", (event) => {
    const open = event.target instanceof Element ? event.target.closest<HTMLDetailsElement>(".choice .more[open]") : null;
    if (event.key !== "Escape" || !open) return;
    open.open = false;
    open.querySelector("summary")?.focus();
  });
  return live;
}

/** The touch itself is answered first; what follows from it comes with the next
 *  frame, once for all touches until then. */
function afterTouch(follow: () => void): () => void {
  let waiting = 0;
  return () => {
    cancelAnimationFrame(waiting);
    waiting = requestAnimationFrame(() => setTimeout(follow));
  };
}

/** After a choice behind "Other" the list closes; the word stays. */
function closeOthers(form: HTMLFormElement, control: HTMLElement): void {
  const more = control.closest<HTMLDetailsElement>(".choice .more");
  if (!more || !form.contains(more)) return;
  more.open = false;
  more.querySelector("summary")?.focus();
}

/** Touching a chosen answer again takes it back. */
function takeBack(form: HTMLFormElement, changed: () => void): void {
  let was: HTMLInputElement | null = null;
  const radioOf = (event: Event) => {
    const input = event.target instanceof Element ? event.target.closest(".segment")?.querySelector("input") : null;
    return input?.type === "radio" ? input : null;
  };
  form.addEventListener("pointerdown", (event) => {
    const radio = radioOf(event);
    was = radio?.checked && radio.value !== "" ? radio : null;
  });
  form.addEventListener("click", (event) => {
    const radio = radioOf(event);
    if (!radio || radio !== was || event.target !== radio) return;
    was = null;
    record(form, radio.name, "");
    changed();
  });
}
