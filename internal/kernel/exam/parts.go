package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

// Parts says which of the three parts of the foot-exam measure were truly done
// on every foot that is there. A foot lost at the ankle or higher has nothing
// left to examine and does not stand in the way; two lost feet leave nothing
// done.
type Parts struct {
	Visual   bool `json:"visual"`
	Filament bool `json:"filament"`
	Pulses   bool `json:"pulses"`
}

// All reports whether the three parts were done.
func (p Parts) All() bool { return p.Visual && p.Filament && p.Pulses }

// Done says which parts were done. What each part needs is our reading; the
// measure itself asks only for a result of each part.
//   - visual: skin and wound were looked at, with a result;
//   - monofilament: every site of the protocol has an entry and at least one
//     has a result; a refused test has none;
//   - pulses: both foot pulses have an entry and at least one has a result.
func (d *Draft) Done() Parts {
	p := Parts{Visual: true, Filament: true, Pulses: true}
	feet := 0
	for _, side := range foot.Sides {
		f := d.Foot(side)
		if f.Loss.FootGone() {
			continue
		}
		feet++
		p.Visual = p.Visual && f.Look.Skin.Tested() && f.Look.Wound.Tested()
		p.Filament = p.Filament && d.filamentDone(f)
		p.Pulses = p.Pulses && pulsesDone(f.Feel.Arteries)
	}
	if feet == 0 {
		return Parts{}
	}
	return p
}

// Whole reports whether every block of the page was reached: something was
// asked, the three parts of the measure were done, and teaching was recorded as
// given or not. What a whole exam is beyond the measure is our reading.
func (d *Draft) Whole() bool {
	return !d.Ask.IsZero() && d.Done().All() && d.Teach.Given.Recorded()
}

func (d *Draft) filamentDone(f *Foot) bool {
	tested := 0
	for _, site := range d.Protocol.Sites() {
		v := f.Test.Filament[site]
		if !f.Loss.Has(site.Place()) {
			continue
		}
		if !v.Recorded() || v == known.Refused {
			return false
		}
		if v.Tested() {
			tested++
		}
	}
	return tested > 0
}

func pulsesDone(l perfusion.Leg) bool {
	return !l.DP.IsZero() && !l.PT.IsZero() && (l.DP.Palpable().Known() || l.PT.Palpable().Known())
}
