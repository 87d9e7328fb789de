package heat

// Sentences and paths of the exam document, put together once, so that judging
// an exam builds no text.

// pair holds a text for the right and for the left side.
type pair [2]string

func onFoot(says string) pair { return pair{"Right foot: " + says, "Left foot: " + says} }

func inFeel(name string) pair { return pair{"right.feel." + name, "left.feel." + name} }

var spotWords = [SpotCount]string{
	"great toe", "first metatarsal head", "third metatarsal head", "fifth metatarsal head", "midfoot", "heel",
}

func perSpot(text func(Spot) pair) (all [SpotCount]pair) {
	for s := range SpotCount {
		all[s] = text(s)
	}
	return all
}

var (
	spotField  = perSpot(func(s Spot) pair { return inFeel("temperatures." + s.String()) })
	warmerSpot = perSpot(func(s Spot) pair {
		return onFoot("the " + spotWords[s] + " is warmer than the other foot by more than 2.2 degrees C (4.0 degrees F).")
	})

	warmField    = inFeel("warm")
	swollenField = inFeel("swollen")
	redField     = pair{"right.look.redness", "left.look.redness"}

	warmFoot       = onFoot("clearly warmer than the other foot to the hand.")
	measuredWarmer = onFoot("a spot is warmer than the other foot by 2.0 degrees C (3.6 degrees F) or more, which supports an active Charcot foot.")

	swollenFoot = onFoot("clearly more swollen than the other foot.")
	redFoot     = onFoot("red.")

	charcotOn    = onFoot("with neuropathy, a foot that is warmer, swollen or red may be an acute Charcot foot: take the load off at once, before any X-ray.")
	charcotUlcer = onFoot("there is an open ulcer: infection and Charcot are both possible, the path of infection comes first.")
	otherCause   = onFoot("without neuropathy a warm, swollen or red foot is not judged by the Charcot rule: look for other causes.")
	nerveUnknown = onFoot("warmer, swollen or red, and sensation is not known: test it, since with neuropathy this may be a Charcot foot.")
)
