package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// count is what the sites of one foot gave.
type count struct {
	planned   int // sites of the definition
	absent    int // lost to amputation
	felt      int
	insensate int
	open      int // there, and without a result
}

func (c count) tested() int { return c.felt + c.insensate }

// at is the result at one site, once amputation has had its say: what is lost
// is absent, whatever else was written down.
func (t *Tests) at(side foot.Side, s Site) known.Finding {
	if !t.Loss[side].Has(s.Place()) {
		return known.Absent
	}
	return t.Feet[side].Filament[s]
}

func (t *Tests) count(side foot.Side, sites []Site) count {
	c := count{planned: len(sites)}
	for _, s := range sites {
		c.add(t.at(side, s))
	}
	return c
}

func (c *count) add(f known.Finding) {
	switch f {
	case known.Absent:
		c.absent++
	case known.Normal:
		c.felt++
	case known.Abnormal:
		c.insensate++
	default:
		c.open++
	}
}

// reached answers "are k or more sites insensate?". It is No only if the open
// sites could not make it Yes and at least one site was felt: where nothing
// that is left is felt, a cut-off that cannot be reached clears nobody.
func (c count) reached(k int) known.Tri {
	switch {
	case c.insensate >= k:
		return known.Yes
	case c.insensate+c.open < k && c.felt > 0:
		return known.No
	}
	return known.Unknown
}

// FilamentNotFelt answers "was the monofilament not felt at one or more sites?"
// over both feet, as PODUS asks. It is No only if every planned site that is
// there was felt; without a recorded protocol the three sites of IWGDF are
// taken as planned. A foot that is gone does not count; two leave Unknown.
func FilamentNotFelt(t Tests) known.Tri {
	planned := t.Protocol.Sites()
	if planned == nil {
		planned = ThreeSites.Sites()
	}
	answer, feet := known.No, 0
	for _, side := range foot.Sides {
		if t.Loss[side].FootGone() {
			continue
		}
		feet++
		if t.count(side, TenSites.Sites()).insensate > 0 {
			return known.Yes
		}
		answer = known.Any(answer, t.count(side, planned).reached(1))
	}
	if feet == 0 {
		return known.Unknown
	}
	return answer
}
