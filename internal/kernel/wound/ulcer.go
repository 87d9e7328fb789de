// Package wound follows one ulcer through time: how large, how deep, infected
// or not, by which classification, and whether it heals as it should.
//
// This file holds what is recorded of an ulcer on one day.
package wound

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

// Depth is the deepest tissue that the ulcer reaches.
type Depth uint8

// The depths, from closed skin to bone.
const (
	DepthUnknown Depth = iota
	Closed
	SkinOnly
	Subcutis
	TendonOrMuscle
	BoneOrJoint
)

var depthNames = []string{"", "closed", "skin", "subcutis", "tendon-or-muscle", "bone-or-joint"}

// IsZero reports a depth that was not recorded.
func (d Depth) IsZero() bool { return d == DepthUnknown }

// String returns the JSON word of the depth, or "not recorded".
func (d Depth) String() string {
	if d == DepthUnknown {
		return "not recorded"
	}
	if int(d) < len(depthNames) {
		return depthNames[d]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the depth.
func (d Depth) MarshalText() ([]byte, error) { return known.Word(depthNames, int(d), "ulcer depth") }

// UnmarshalText reads the JSON word of the depth.
func (d *Depth) UnmarshalText(b []byte) error {
	i, err := known.Index(depthNames, b, "ulcer depth")
	*d = Depth(i)
	return err
}

// Gangrene is dead tissue on one foot.
type Gangrene uint8

// The extents of gangrene.
const (
	GangreneNotRecorded Gangrene = iota
	NoGangrene
	ToeGangrene
	ForefootGangrene
	WholeFootGangrene
)

var gangreneNames = []string{"", "none", "toe", "forefoot", "whole-foot"}

// IsZero reports that gangrene was not looked for.
func (g Gangrene) IsZero() bool { return g == GangreneNotRecorded }

// String returns the JSON word of the extent, or "not recorded".
func (g Gangrene) String() string {
	if g == GangreneNotRecorded {
		return "not recorded"
	}
	if int(g) < len(gangreneNames) {
		return gangreneNames[g]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the extent.
func (g Gangrene) MarshalText() ([]byte, error) { return known.Word(gangreneNames, int(g), "gangrene") }

// UnmarshalText reads the JSON word of the extent.
func (g *Gangrene) UnmarshalText(b []byte) error {
	i, err := known.Index(gangreneNames, b, "gangrene")
	*g = Gangrene(i)
	return err
}

// Any answers "is there gangrene?".
func (g Gangrene) Any() known.Tri {
	switch g {
	case GangreneNotRecorded:
		return known.Unknown
	case NoGangrene:
		return known.No
	}
	return known.Yes
}

// Method is how the area of an ulcer was found. Areas by different methods are
// never compared in one trend.
type Method uint8

// The methods.
const (
	MethodUnknown Method = iota
	Rectangle
	Ellipse
	Traced
)

var methodNames = []string{"", "rectangle", "ellipse", "traced"}

// IsZero reports a method that was not recorded.
func (m Method) IsZero() bool { return m == MethodUnknown }

// String returns the JSON word of the method.
func (m Method) String() string {
	if int(m) < len(methodNames) {
		return methodNames[m]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the method.
func (m Method) MarshalText() ([]byte, error) { return known.Word(methodNames, int(m), "area method") }

// UnmarshalText reads the JSON word of the method.
func (m *Method) UnmarshalText(b []byte) error {
	i, err := known.Index(methodNames, b, "area method")
	*m = Method(i)
	return err
}

// Point is a corner of a traced outline, in the units of the picture.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Size is the measured size of an ulcer.
type Size struct {
	// LengthMM is the longest diameter and WidthMM the widest at right angles
	// to it, in whole millimetres.
	LengthMM known.Reading `json:"length-mm,omitzero"`
	WidthMM  known.Reading `json:"width-mm,omitzero"`
	// Method says how to get the area: rectangle or ellipse of the two
	// diameters, or traced.
	Method Method `json:"method,omitzero"`
	// Outline is the traced edge, with UnitsPerMM of the picture's scale.
	Outline    []Point `json:"outline,omitempty"`
	UnitsPerMM float64 `json:"units-per-mm,omitempty"`
}

// IsZero reports that no size was recorded.
func (s Size) IsZero() bool {
	return s.LengthMM.IsZero() && s.WidthMM.IsZero() && s.Method.IsZero() && len(s.Outline) == 0 && s.UnitsPerMM == 0
}

// Infection holds the local signs of infection around an ulcer, or of a foot
// without one.
type Infection struct {
	Swelling known.Answer `json:"swelling,omitzero"`
	// ErythemaMM is how far redness reaches from the edge, in whole
	// millimetres; 0 is looked for and none.
	ErythemaMM known.Reading `json:"erythema-mm,omitzero"`
	Tenderness known.Answer  `json:"tenderness,omitzero"`
	Warmth     known.Answer  `json:"warmth,omitzero"`
	Pus        known.Answer  `json:"pus,omitzero"`
	// Deep: abscess, septic joint, fasciitis, or infection of tendon or muscle.
	Deep known.Answer `json:"deep,omitzero"`
	// Bone: osteomyelitis suspected or shown.
	Bone known.Answer `json:"bone,omitzero"`
	// Spreading: redness or swelling that is moving up the foot or leg.
	Spreading known.Answer `json:"spreading,omitzero"`
	// Crepitus or gas in the tissue.
	Crepitus known.Answer `json:"crepitus,omitzero"`
}

// IsZero reports that no sign was looked for.
func (i Infection) IsZero() bool { return i == Infection{} }

// Systemic holds the signs of a systemic response on the day of the exam.
type Systemic struct {
	// TemperatureC is the body temperature in tenths of a degree Celsius.
	TemperatureC known.Tenths `json:"temperature-c,omitzero"`
	// HeartRate and RespiratoryRate are per minute.
	HeartRate       known.Reading `json:"heart-rate,omitzero"`
	RespiratoryRate known.Reading `json:"respiratory-rate,omitzero"`
	// WhiteCells is the leucocyte count in tenths of 10^9 per litre.
	WhiteCells known.Tenths `json:"white-cells,omitzero"`
	// ImmatureCells is the share of immature forms, in tenths of a per cent.
	ImmatureCells known.Tenths `json:"immature-cells-percent,omitzero"`
	// PaCO2 in mmHg.
	PaCO2 known.Reading `json:"paco2-mmhg,omitzero"`
	// Unwell: fever, shivering, vomiting, confusion or new weakness.
	Unwell known.Answer `json:"unwell,omitzero"`
}

// IsZero reports that no sign was recorded.
func (s Systemic) IsZero() bool { return s == Systemic{} }

// Ulcer is one open or just healed ulcer as seen on one day.
type Ulcer struct {
	// ID is the ulcer's own name through time, such as "u1".
	ID    string     `json:"id"`
	Side  foot.Side  `json:"side"`
	Place foot.Place `json:"place"`
	// Since is when it was first noticed, as precisely as known.
	Since when.Moment `json:"since,omitzero"`
	Size  Size        `json:"size,omitzero"`
	Depth Depth       `json:"depth,omitzero"`
	// ProbeToBone: hard bone felt with a sterile probe.
	ProbeToBone known.Answer `json:"probe-to-bone,omitzero"`
	Infection   Infection    `json:"infection,omitzero"`
	// Healed: closed with intact skin.
	Healed known.Answer `json:"healed,omitzero"`
	Note   string       `json:"note,omitempty"`
}

// Open answers "is this an open ulcer?".
func (u Ulcer) Open() known.Tri {
	if u.Healed == known.AnswerYes || u.Depth == Closed {
		return known.No
	}
	return known.Yes
}
