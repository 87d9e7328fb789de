// Who is signed in, as far as this device is concerned: signing out and being
// left untouched for too long take the key away at once, with or without the
// practice in reach.
import { forget, isOver, touch, whenOver } from "./key";
import { openStore } from "./store";

/** The form that signs out is on every page of somebody who is signed in. */
export function signedIn(): HTMLFormElement | null {
  return document.querySelector<HTMLFormElement>('form[action="/sign-out"]');
}

/** Ends the session: the key goes first, then the practice hears of it, or before
 *  anything else once it is in reach. Without that a page that asks the practice
 *  for something now and then would keep a session alive that nobody touches. */
async function end(): Promise<void> {
  await forget();
  const db = await openStore();
  await db.put("note", true, "signed-out");
  try {
    await fetch("/sign-out", { method: "POST" });
    await db.delete("note", "signed-out");
  } catch {
    // The note stays.
  }
}

/** The practice shows its sign-in page: it knows that nobody is signed in. */
export async function signedOut(): Promise<void> {
  await forget();
  await (await openStore()).delete("note", "signed-out");
}

/** Watches for the end of the session. before is called while the key is still
 *  here, so that the last touches can be kept. */
export function watchSession(before: () => Promise<void>): void {
  for (const touched of ["pointerdown", "keydown", "input"]) {
    addEventListener(touched, () => touch(), { capture: true, passive: true });
  }
  let leaving = false;
  const leave = async () => {
    if (leaving) return;
    leaving = true;
    await before().catch(() => {});
    await end();
    blank();
    location.replace(`/sign-in?to=${encodeURIComponent(location.pathname)}`);
  };
  const look = () => {
    if (isOver()) void leave();
  };
  setInterval(look, 5000);
  addEventListener("pageshow", look);
  document.addEventListener("visibilitychange", look);
  whenOver(() => void leave());
}

/** Takes the page's words away: the next page may take a while to come. */
function blank(): void {
  document.title = "Tengram";
  document.body.replaceChildren();
}

/** Signing out throws the key away first. waits counts what is not sent yet;
 *  where there is something, the button asks once more. */
export function startSignOut(form: HTMLFormElement, waits: () => Promise<number>, before: () => Promise<void>): void {
  let warned = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = form.querySelector("button");
    const waiting = warned ? 0 : await waits().catch(() => 0);
    if (waiting > 0 && button) {
      warned = true;
      button.textContent = "Sign out all the same";
      const note = document.createElement("span");
      note.className = "sign-out-note";
      note.setAttribute("role", "status");
      note.textContent =
        waiting === 1
          ? "1 signed exam is not sent yet. It stays locked here and is sent when you sign in again."
          : `${waiting} signed exams are not sent yet. They stay locked here and are sent when you sign in again.`;
      form.prepend(note);
      return;
    }
    await before().catch(() => {});
    await end();
    blank();
    location.replace("/sign-in");
  });
}
