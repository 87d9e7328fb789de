// Package neuro turns the nerve tests of two feet into loss of protective
// sensation (LOPS), by each published definition, and into the neuropathy
// scores whose points are known.
//
// This file holds what was tested; the rules stand one definition a file.
package neuro

import (
	"encoding/json"
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// Site is a place where the 10 g monofilament is applied.
type Site uint8

// The ten sites in use; each protocol takes some of them.
const (
	SiteHallux Site = iota
	SiteToe3
	SiteToe5
	SiteMTH1
	SiteMTH3
	SiteMTH5
	SiteMidfootMedial
	SiteMidfootLateral
	SiteHeel
	SiteDorsum
	SiteCount
)

var sitePlaces = [SiteCount]foot.Place{
	foot.Hallux, foot.Toe3, foot.Toe5, foot.MTH1, foot.MTH3, foot.MTH5,
	foot.MidfootMedial, foot.MidfootLateral, foot.Heel, foot.Dorsum,
}

// Place returns where the site lies.
func (s Site) Place() foot.Place { return sitePlaces[s] }

// String returns the JSON word of the site, which is that of its place.
func (s Site) String() string { return s.Place().String() }

// Filament holds the monofilament result at each site of one foot: Normal is
// felt, Abnormal is not felt.
type Filament [SiteCount]known.Finding

// IsZero reports that no site was recorded.
func (f Filament) IsZero() bool { return f == Filament{} }

// MarshalJSON writes an object of site to finding, in site order.
func (f Filament) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for s, v := range f {
		if v == known.NotDone {
			continue
		}
		if len(b) > 1 {
			b = append(b, ',')
		}
		w, err := v.MarshalText()
		if err != nil {
			return nil, err
		}
		b = fmt.Appendf(b, "%q:%q", Site(s).String(), w)
	}
	return append(b, '}'), nil
}

// UnmarshalJSON reads an object of site to finding.
func (f *Filament) UnmarshalJSON(b []byte) error {
	m := map[string]known.Finding{}
	if err := json.Unmarshal(b, &m); err != nil {
		return err
	}
	*f = Filament{}
	for s := range SiteCount {
		if v, ok := m[s.String()]; ok {
			f[s] = v
			delete(m, s.String())
		}
	}
	for name := range m {
		return fmt.Errorf("monofilament site %q is not one of the ten sites", name)
	}
	return nil
}

// Protocol is the plan of sites that a practice tests. It is part of the
// record, so that two testers' results can be compared.
type Protocol uint8

// The protocols. Sites of each are in Sites.
const (
	NoProtocol Protocol = iota
	ThreeSites
	FourSites
	FiveSites
	TenSites
)

var protocolNames = []string{"", "three-sites", "four-sites", "five-sites", "ten-sites"}

// IsZero reports that the protocol was not recorded.
func (p Protocol) IsZero() bool { return p == NoProtocol }

// String returns the JSON word of the protocol.
func (p Protocol) String() string {
	if int(p) < len(protocolNames) {
		return protocolNames[p]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the protocol.
func (p Protocol) MarshalText() ([]byte, error) {
	return known.Word(protocolNames, int(p), "monofilament protocol")
}

// UnmarshalText reads the JSON word of the protocol.
func (p *Protocol) UnmarshalText(b []byte) error {
	i, err := known.Index(protocolNames, b, "monofilament protocol")
	*p = Protocol(i)
	return err
}

var protocolSites = [][]Site{
	ThreeSites: {SiteHallux, SiteMTH1, SiteMTH5},
	FourSites:  {SiteHallux, SiteMTH1, SiteMTH3, SiteMTH5},
	FiveSites:  {SiteHallux, SiteMTH1, SiteMTH3, SiteMTH5, SiteHeel},
	TenSites: {SiteHallux, SiteToe3, SiteToe5, SiteMTH1, SiteMTH3, SiteMTH5,
		SiteMidfootMedial, SiteMidfootLateral, SiteHeel, SiteDorsum},
}

// Sites lists the sites of the protocol. Three sites: IWGDF addendum (figure,
// from memory for the exact three). Four sites: ADA 2008 (second hand). Five
// sites: Medicare NCD 70.2.1 wants five plantar sites and does not name them;
// these five are our proposal. Ten sites: Armstrong 1998 wants ten; the list is
// common practice. The caller must not change the slice.
func (p Protocol) Sites() []Site {
	if int(p) < len(protocolSites) {
		return protocolSites[p]
	}
	return nil
}

// Reflex is the ankle reflex of one side.
type Reflex uint8

// The reflex results. Reinforced means present only with reinforcement.
const (
	ReflexNotDone Reflex = iota
	ReflexPresent
	ReflexReinforced
	ReflexAbsent
	ReflexNotPossible
	ReflexRefused
)

var reflexNames = []string{"", "present", "with-reinforcement", "absent", "not-possible", "refused"}

// IsZero reports that the reflex was not tested.
func (r Reflex) IsZero() bool { return r == ReflexNotDone }

// String returns the JSON word of the reflex, or "not recorded".
func (r Reflex) String() string {
	if r == ReflexNotDone {
		return "not recorded"
	}
	if int(r) < len(reflexNames) {
		return reflexNames[r]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the reflex.
func (r Reflex) MarshalText() ([]byte, error) { return known.Word(reflexNames, int(r), "ankle reflex") }

// UnmarshalText reads the JSON word of the reflex.
func (r *Reflex) UnmarshalText(b []byte) error {
	i, err := known.Index(reflexNames, b, "ankle reflex")
	*r = Reflex(i)
	return err
}

// Abnormal answers "is the reflex abnormal?": absent even with reinforcement is
// abnormal (ADA 2008, from memory).
func (r Reflex) Abnormal() known.Tri {
	switch r {
	case ReflexPresent, ReflexReinforced:
		return known.No
	case ReflexAbsent:
		return known.Yes
	}
	return known.Unknown
}

// Touch holds the light-touch test at the tips of toes 1, 3 and 5: Normal is
// felt.
type Touch struct {
	Toe1 known.Finding `json:"toe1,omitzero"`
	Toe3 known.Finding `json:"toe3,omitzero"`
	Toe5 known.Finding `json:"toe5,omitzero"`
}

// IsZero reports that no toe was recorded.
func (t Touch) IsZero() bool { return t == Touch{} }

// Foot holds the nerve tests of one foot.
type Foot struct {
	// Filament is the 10 g monofilament by site.
	Filament Filament `json:"filament,omitzero"`
	// Vibration is the 128 Hz tuning fork at the hallux: Normal is felt.
	Vibration known.Finding `json:"vibration,omitzero"`
	// Pinprick is sharp touch at the hallux: Normal is felt.
	Pinprick known.Finding `json:"pinprick,omitzero"`
	// WarmCold is telling warm from cold: Normal is told.
	WarmCold known.Finding `json:"warm-cold,omitzero"`
	// Reflex is the ankle reflex.
	Reflex Reflex `json:"ankle-reflex,omitzero"`
	// Touch is light touch at the toe tips.
	Touch Touch `json:"touch,omitzero"`
	// VPT is the vibration perception threshold in volts, in tenths.
	VPT known.Tenths `json:"vpt-volts,omitzero"`
}

// IsZero reports that no nerve test was recorded.
func (f Foot) IsZero() bool { return f == Foot{} }

// Tests are the nerve tests of both feet, with what amputation has taken, so
// that a lost site is absent and not failed.
type Tests struct {
	Protocol Protocol
	Feet     [2]Foot
	Loss     [2]foot.Loss
}
