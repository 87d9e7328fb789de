// The result on a narrow screen: it stands below the form, and the button in the
// bar at the bottom lifts it over the page as a sheet.

export function startLift(form: HTMLFormElement): void {
  const opener = form.querySelector<HTMLElement>("[data-lift]");
  const sheet = form.querySelector<HTMLElement>(".beside");
  const end = sheet?.querySelector<HTMLElement>(".lift-end");
  const behind = form.querySelector<HTMLElement>(".sheet");
  if (!opener || !sheet || !end) return;
  const lower = (refocus: boolean) => {
    if (!sheet.classList.contains("lifted")) return;
    sheet.classList.remove("lifted");
    if (behind) behind.inert = false;
    end.hidden = true;
    opener.setAttribute("aria-expanded", "false");
    if (refocus) opener.focus({ preventScroll: true });
  };
  opener.setAttribute("role", "button");
  opener.setAttribute("aria-expanded", "false");
  opener.addEventListener("click", (event) => {
    event.preventDefault();
    if (sheet.classList.contains("lifted")) {
      lower(false);
      return;
    }
    sheet.classList.add("lifted");
    if (behind) behind.inert = true; // what is half covered is out of reach
    end.hidden = false;
    opener.setAttribute("aria-expanded", "true");
    sheet.scrollTop = 0;
    end.querySelector("button")?.focus({ preventScroll: true });
  });
  opener.addEventListener("keydown", (event) => {
    if (event.key !== " ") return;
    event.preventDefault();
    opener.click();
  });
  end.addEventListener("click", (event) => {
    if (event.target instanceof Element && event.target.closest("button")) lower(true);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Escape") lower(true);
  });
  // A touch on the page above it lowers it too.
  form.addEventListener("click", (event) => {
    if (event.target === form) lower(false);
  });
  // A line that leads to its question shows it.
  sheet.addEventListener("click", (event) => {
    if (event.target instanceof Element && event.target.closest('a[href^="#"]')) lower(false);
  });
}
