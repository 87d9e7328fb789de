// The script of every page. Pages work without it; it makes them quicker.
import { startExam } from "./exam/page";
import { startFilters } from "./desk/filter";

// Styles show what only works with scripts, and hide what is only needed
// without them.
document.documentElement.dataset["scripts"] = "on";

for (const button of document.querySelectorAll("[data-print]")) {
  button.addEventListener("click", () => print());
}

startFilters();

const exam = document.querySelector<HTMLFormElement>("form#exam");
if (exam) startExam(exam);
