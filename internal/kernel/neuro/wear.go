package neuro

import "tengram/internal/kernel/source"

// RestAfter is the number of compressions after which a monofilament should
// rest for 24 hours: of the two best makes 80 in 100 still bent within a tenth
// of 10 g after 100 compressions, and half after 200; whatever recovers does so
// within 24 hours (Booth and Young 2000, confirmed). That a rest is due at 100
// is our proposal, near to the authors' advice of about ten people at ten sites
// (from memory).
const RestAfter = 100

// SrcWear is the source of RestAfter.
var SrcWear = source.Booth2000.At("80 in 100 within a tenth of 10 g after 100 compressions; recovery within 24 hours", source.Confirmed)

// Compressions is how often one person's test bends the filament: sites on a
// foot, times real applications at a site, times feet. A sham does not bend it.
func Compressions(sites, applications, feet int) int { return sites * applications * feet }

// PeopleBeforeRest is how many whole tests of so many compressions fit before
// RestAfter, with used compressions since the last rest of 24 hours. It is 0
// when a rest is due now, and for a test without compressions.
func PeopleBeforeRest(used, each int) int {
	if each <= 0 || used >= RestAfter {
		return 0
	}
	return (RestAfter - used) / each
}
