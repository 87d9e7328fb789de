package neuro

import "tengram/internal/kernel/foot"

// Sentences and paths of the exam document, put together once, so that judging
// an exam builds no text.

// pair holds a text for the right and for the left side.
type pair [2]string

func onFoot(says string) pair { return pair{"Right foot: " + says, "Left foot: " + says} }

func atField(name string) pair { return pair{"right.test." + name, "left.test." + name} }

var siteWords = [SiteCount]string{
	"great toe", "third toe", "little toe", "first metatarsal head", "third metatarsal head", "fifth metatarsal head",
	"arch of the foot", "outer midfoot", "heel", "top of the foot",
}

func perSite(text func(Site) pair) (all [SiteCount]pair) {
	for s := range SiteCount {
		all[s] = text(s)
	}
	return all
}

var (
	siteField = perSite(func(s Site) pair { return atField("filament." + s.String()) })
	notFelt   = perSite(func(s Site) pair {
		return onFoot("the 10 g monofilament was not felt at the " + siteWords[s] + ".")
	})
	notCounted = perSite(func(s Site) pair {
		return onFoot("the 10 g monofilament was not felt at the " + siteWords[s] + ", a site that this definition does not count.")
	})
)

var (
	filamentField  = atField("filament")
	vibrationField = atField("vibration")
	pinprickField  = atField("pinprick")
	warmColdField  = atField("warm-cold")
	reflexField    = atField("ankle-reflex")
	vptField       = atField("vpt-volts")
	touchField     = [3]pair{atField("touch.toe1"), atField("touch.toe3"), atField("touch.toe5")}
)

var (
	footGone     = onFoot("no foot is left to test.")
	siteLost     = onFoot("a site is lost to amputation; it counts as absent, not as failed.")
	noSiteLeft   = onFoot("every site of this definition is lost to amputation.")
	allFelt      = onFoot("the 10 g monofilament was felt at every site tested.")
	notTested    = onFoot("the 10 g monofilament was not tested.")
	someOpen     = onFoot("the 10 g monofilament was not tested at every site.")
	cannotReach  = onFoot("nothing was felt at the sites that are left, too few to reach the cut-off.")
	belowCut     = onFoot("fewer sites than the cut-off were not felt.")
	forkFelt     = onFoot("the 128 Hz tuning fork was felt.")
	forkNotFelt  = onFoot("the 128 Hz tuning fork was not felt.")
	pinNotFelt   = onFoot("pinprick was not felt.")
	warmNotTold  = onFoot("warm and cold were not told apart.")
	reflexAbsent = onFoot("the ankle reflex is absent, even with reinforcement.")
	vptHigh      = onFoot("the vibration threshold is above 25 V.")
	touchMissed  = [3]pair{
		onFoot("light touch was not felt at the tip of the great toe."),
		onFoot("light touch was not felt at the tip of the third toe."),
		onFoot("light touch was not felt at the tip of the little toe."),
	}
)

var protocolSays = []string{
	NoProtocol: "Which plan of monofilament sites was followed was not recorded.",
	ThreeSites: "The monofilament was tested by the plan of three sites a foot.",
	FourSites:  "The monofilament was tested by the plan of four sites a foot.",
	FiveSites:  "The monofilament was tested by the plan of five sites a foot.",
	TenSites:   "The monofilament was tested by the plan of ten sites a foot.",
}

// touchToes are the toes of the light-touch test, in the order of Touch.
var touchToes = [3]foot.Place{foot.Hallux, foot.Toe3, foot.Toe5}
