package drawing

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/foot"
)

// GoneWith lists the losses that take a place away, as words that a script can
// look up: a level such as "midfoot", "toe-2" for a toe lost alone, "ray-2" for
// one lost with its metatarsal head. A place is gone when any of them is
// recorded. The list is asked of the anatomy, so the rule stands there alone.
func GoneWith(p foot.Place) string {
	var words []string
	for l := foot.Transmetatarsal; l <= foot.HipLevel; l++ {
		if !(foot.Loss{Level: l}).Has(p) {
			words = append(words, l.String())
		}
	}
	for n := 1; n <= 5; n++ {
		if !(foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(n)}).Has(p) {
			words = append(words, fmt.Sprintf("toe-%d", n))
		}
		if !(foot.Loss{Level: foot.ToesOnly, Rays: foot.ToesOf(n)}).Has(p) {
			words = append(words, fmt.Sprintf("ray-%d", n))
		}
	}
	return strings.Join(words, " ")
}

// GoneWithFoot lists the levels at which no foot is left to examine.
func GoneWithFoot() string { return levelTokens(goneLevels()) }

func goneLevels() []foot.Level {
	var gone []foot.Level
	for l := foot.LevelUnknown; l <= foot.HipLevel; l++ {
		if (foot.Loss{Level: l}).FootGone() {
			gone = append(gone, l)
		}
	}
	return gone
}

// levelTokens spells levels for a script; a level that was not recorded is
// "unknown".
func levelTokens(levels []foot.Level) string {
	words := make([]string, len(levels))
	for i, l := range levels {
		words[i] = l.String()
		if l == foot.LevelUnknown {
			words[i] = "unknown"
		}
	}
	return strings.Join(words, " ")
}
