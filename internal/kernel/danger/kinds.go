package danger

import "tengram/internal/kernel/source"

// kind is one flag before it is raised: what is said when it is settled and
// when it is suspected, and the rule of its urgency.
type kind struct {
	id       string
	urgency  Urgency
	says     string
	suspects string
	rule     source.Reason
}

var (
	gangrene = &kind{
		id: "gangrene", urgency: Now,
		says: "There is dead tissue (gangrene): send to acute services now.",
		rule: source.Reason{Says: "Gangrene, with an ulcer or without, goes to acute services at once.", Source: niceNow},
	}
	ulcerWithFever = &kind{
		id: "ulcer-with-fever", urgency: Now,
		says:     "There is an open ulcer with fever or another sign of sepsis: send to acute services now.",
		suspects: "There is an open ulcer with one systemic sign that may be the start of sepsis: a clinician judges it today.",
		rule:     source.Reason{Says: "An ulcer with fever or any sign of sepsis goes to acute services at once.", Source: niceNow},
	}
	ulcerWithIschaemia = &kind{
		id: "ulcer-with-ischaemia", urgency: Now,
		says:     "There is an open ulcer on a leg with critically low pressures: send to acute services now.",
		suspects: "There is an open ulcer on a leg that may be short of blood: treat it as limb ischaemia now, measure pressures.",
		rule:     source.Reason{Says: "An ulcer with limb ischaemia goes to acute services at once.", Source: niceNow},
	}
	deepInfection = &kind{
		id: "deep-infection", urgency: Now,
		says:     "There are signs of an infection of deep tissue or bone: send to acute services now.",
		suspects: "An infection of deep tissue or bone is possible: send to acute services now.",
		rule:     source.Reason{Says: "Concern for an infection of deep soft tissue or bone, with an ulcer or without, goes to acute services at once.", Source: niceNow},
	}
	infectionWithFever = &kind{
		id: "infection-with-fever", urgency: Now,
		says:     "There is an infected foot with fever or another sign of sepsis: send to acute services now.",
		suspects: "There are signs of a foot infection and a systemic sign: a clinician judges it today.",
		rule:     source.Reason{Says: "A foot infection with a systemic response is severe and goes to hospital.", Source: severe},
	}
	suddenlyCold = &kind{
		id: "acute-limb-ischaemia", urgency: Now,
		says: "A foot has suddenly become cold, pale, painful or numb: the leg may have lost its blood supply. Call the emergency route now.",
		rule: source.Reason{Says: "Acute limb ischaemia is an emergency of hours.", Source: aliNow},
	}
	spreading = &kind{
		id: "spreading-infection", urgency: SameDay,
		says:     "An infection is spreading: to be seen today.",
		suspects: "Redness reaches 2 cm or more: a spreading infection is possible, to be seen today.",
		rule:     source.Reason{Says: "A spreading infection without systemic signs is seen the same day; the guideline's own limit is 1 working day.", Source: ladderSpreading},
	}
	newRestPain = &kind{
		id: "new-rest-pain", urgency: SameDay,
		says:     "There is new pain of the foot at rest: to be seen today.",
		suspects: "There is pain of the foot at rest, and whether it is new was not recorded: ask now; if it is new, to be seen today.",
		rule:     source.Reason{Says: "New pain at rest is seen the same day.", Source: ladderRestPain},
	}
	ulcerUnchecked = &kind{
		id: "ulcer-checks-missing", urgency: SameDay,
		suspects: "There is an open wound, and not everything that would make it an emergency has been looked for: check it today.",
		rule:     source.Reason{Says: "What is not known of an open ulcer does not reassure.", Source: ladderUnknown},
	}
	threatenedLimb = &kind{
		id: "limb-threatening-ischaemia", urgency: OneWorkingDay,
		says:     "There is chronic limb-threatening ischaemia: refer urgently, within 1 working day.",
		suspects: "Chronic limb-threatening ischaemia is possible: refer urgently, within 1 working day.",
		rule:     source.Reason{Says: "Critical ischaemia is an active foot problem: refer within 1 working day.", Source: niceActive},
	}
	acuteCharcot = &kind{
		id: "acute-charcot", urgency: OneWorkingDay,
		suspects: "An acute Charcot foot is possible: keep all weight off the foot from now, refer within 1 working day.",
		rule:     source.Reason{Says: "A suspected acute Charcot foot is an active foot problem: refer within 1 working day.", Source: niceActive},
	}
	hotFoot = &kind{
		id: "hot-red-swollen-foot", urgency: OneWorkingDay,
		says:     "A foot is hot, red or swollen without another explanation: refer within 1 working day.",
		suspects: "A foot shows one of warmth, redness and swelling, and the others were not recorded: look for them today.",
		rule:     source.Reason{Says: "An unexplained hot, red, swollen foot, with or without pain, is an active foot problem: refer within 1 working day.", Source: niceActive},
	}
	openUlcer = &kind{
		id: "open-ulcer", urgency: OneWorkingDay,
		says:     "There is an open ulcer: refer within 1 working day.",
		suspects: "There is an open wound without a description: describe it, and refer within 1 working day.",
		rule:     source.Reason{Says: "An ulcer is an active foot problem: refer within 1 working day.", Source: niceActive},
	}
	infection = &kind{
		id: "foot-infection", urgency: OneWorkingDay,
		says:     "There is an infection of the foot: refer within 1 working day.",
		suspects: "There are signs of infection, and not all of them were looked for: look for the rest today, refer within 1 working day.",
		rule:     source.Reason{Says: "A mild infection is referred within 1 working day.", Source: ladderInfection},
	}
)
