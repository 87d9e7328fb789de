// The exam page with a script: live result, autosave, one-touch blocks, keys.
import { growList, record, refresh, showProtocol } from "./answers";
import { startClock } from "./clock";
import { startFeet } from "./feet";
import { startKeys } from "./keys";
import { startLift } from "./lift";
import { Live } from "./live";
import { startNormal } from "./normal";

export function startExam(form: HTMLFormElement): void {
  const live = new Live(form, `/exam/${encodeURIComponent(form.dataset["exam"] ?? "")}`);
  let drawing = 0;
  const changed = () => {
    live.changed();
    // The touch itself is answered first, the drawings follow with the next frame.
    cancelAnimationFrame(drawing);
    drawing = requestAnimationFrame(() => form.dispatchEvent(new Event("recorded")));
  };

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

  document.addEventListener("click", (event) => {
    const inside = event.target instanceof Element ? event.target.closest(".choice .more") : null;
    for (const open of form.querySelectorAll<HTMLDetailsElement>(".choice .more[open]")) {
      if (open !== inside) open.open = false;
    }
  });
  form.addEventListener("keydown", (event) => {
    const open = event.target instanceof Element ? event.target.closest<HTMLDetailsElement>(".choice .more[open]") : null;
    if (event.key !== "Escape" || !open) return;
    open.open = false;
    open.querySelector("summary")?.focus();
  });
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
