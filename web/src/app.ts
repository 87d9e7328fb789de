// The script of every page: it marks that scripts run, so that styles can
// show what only works with them.
document.documentElement.dataset["scripts"] = "on";

export {};
