// The script of every page. Pages work without it; it makes them quicker.
import { startExam } from "./exam/page";
import { startFilters } from "./desk/filter";
import { startDevice } from "./offline/start";
import { startTrace } from "./trace/start";

// Styles show what only works with scripts, and hide what is only needed
// without them.
document.documentElement.dataset["scripts"] = "on";

for (const button of document.querySelectorAll("[data-print]")) {
  button.addEventListener("click", () => print());
}

startFilters();

const exam = document.querySelector<HTMLFormElement>("form#exam");
void startDevice(exam ? begin(exam) : null, begin);

/** Starts an exam form, which comes with the page or is drawn on the device. */
function begin(form: HTMLFormElement, unsent = false) {
  const live = startExam(form, unsent);
  startTrace(form);
  return live;
}
