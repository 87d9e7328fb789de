package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/wound"
)

// Foot is everything recorded of one foot.
type Foot struct {
	// Loss is what amputation has taken from this leg.
	Loss foot.Loss  `json:"loss,omitzero"`
	Look Look       `json:"look,omitzero"`
	Feel Feel       `json:"feel,omitzero"`
	Test neuro.Foot `json:"test,omitzero"`
}

// IsZero reports that nothing was recorded of the foot.
func (f Foot) IsZero() bool {
	return f.Loss.IsZero() && f.Look.IsZero() && f.Feel.IsZero() && f.Test.IsZero()
}

// Look is the visual exam of one foot, soles and between the toes included.
type Look struct {
	// Skin is Normal when colour, thickness, moisture and integrity are, the
	// webs included; what is not stands in Lesions.
	Skin    known.Finding `json:"skin,omitzero"`
	Lesions []Lesion      `json:"lesions,omitempty"`
	// Wound is Normal when there is no open ulcer or break of the skin. An
	// ulcer itself stands in the exam's Ulcers.
	Wound    known.Finding  `json:"wound,omitzero"`
	Gangrene wound.Gangrene `json:"gangrene,omitzero"`
	Nails    known.Finding  `json:"nails,omitzero"`
	NailKind []NailKind     `json:"nail-kinds,omitempty"`
	// Shape is Normal when there is no deformity; each kind stands in
	// Deformities.
	Shape       known.Finding `json:"shape,omitzero"`
	Deformities []Deformity   `json:"deformities,omitempty"`
	// Mobility of ankle and great toe joint: Abnormal when limited.
	Mobility known.Finding `json:"mobility,omitzero"`
	Wasting  known.Finding `json:"muscle-wasting,omitzero"`
	// Redness of the foot, beyond a wound's edge or without a wound.
	Redness known.Answer `json:"redness,omitzero"`
	// Infection: signs of infection of the foot without an ulcer.
	Infection wound.Infection `json:"infection,omitzero"`
}

// IsZero reports that the foot was not looked at.
func (l Look) IsZero() bool {
	return l.Skin.IsZero() && len(l.Lesions) == 0 && l.Wound.IsZero() && l.Gangrene.IsZero() &&
		l.Nails.IsZero() && len(l.NailKind) == 0 && l.Shape.IsZero() && len(l.Deformities) == 0 &&
		l.Mobility.IsZero() && l.Wasting.IsZero() && l.Redness.IsZero() && l.Infection.IsZero()
}

// Lesion is one skin finding at one place.
type Lesion struct {
	Place foot.Place `json:"place"`
	Kind  LesionKind `json:"kind"`
	Note  string     `json:"note,omitempty"`
}

// LesionKind is the kind of a skin finding.
type LesionKind uint8

// The kinds of skin findings.
const (
	NoLesion LesionKind = iota
	Callus
	Corn
	Blister
	BleedingUnderCallus
	Fissure
	Maceration
	Fungus
	DrySkin
	RedSpot
	ColourChange
	OtherLesion
)

var lesionNames = []string{
	"", "callus", "corn", "blister", "bleeding-under-callus", "fissure", "maceration",
	"fungus", "dry-skin", "red-spot", "colour-change", "other",
}

// String returns the JSON word of the kind.
func (k LesionKind) String() string {
	if int(k) < len(lesionNames) {
		return lesionNames[k]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the kind.
func (k LesionKind) MarshalText() ([]byte, error) {
	return known.Word(lesionNames, int(k), "skin finding")
}

// UnmarshalText reads the JSON word of the kind.
func (k *LesionKind) UnmarshalText(b []byte) error {
	i, err := known.Index(lesionNames, b, "skin finding")
	*k = LesionKind(i)
	return err
}

// PreUlcerative reports whether the finding is likely to become an ulcer:
// blister, bleeding under callus, fissure (IWGDF 2023 definitions, from
// memory).
func (k LesionKind) PreUlcerative() bool {
	return k == Blister || k == BleedingUnderCallus || k == Fissure
}

// NailKind is the kind of a nail finding.
type NailKind uint8

// The kinds of nail findings.
const (
	NoNailFinding NailKind = iota
	ThickNail
	IngrownNail
	FungalNail
	LongNail
	NailBleeding
)

var nailNames = []string{"", "thick", "ingrown", "fungal", "long", "bleeding-under-nail"}

// String returns the JSON word of the kind.
func (k NailKind) String() string {
	if int(k) < len(nailNames) {
		return nailNames[k]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the kind.
func (k NailKind) MarshalText() ([]byte, error) { return known.Word(nailNames, int(k), "nail finding") }

// UnmarshalText reads the JSON word of the kind.
func (k *NailKind) UnmarshalText(b []byte) error {
	i, err := known.Index(nailNames, b, "nail finding")
	*k = NailKind(i)
	return err
}

// Deformity is a named change of the foot's shape.
type Deformity uint8

// The deformities.
const (
	NoDeformity Deformity = iota
	HalluxValgus
	HammerToe
	ClawToe
	MalletToe
	OverlappingToe
	ProminentMTH
	FlatFoot
	HighArch
	RockerBottom
	FootDrop
	Equinus
	HalluxRigidus
	OtherDeformity
)

var deformityNames = []string{
	"", "hallux-valgus", "hammer-toe", "claw-toe", "mallet-toe", "overlapping-toe",
	"prominent-metatarsal-head", "flat-foot", "high-arch", "charcot-shape", "foot-drop",
	"equinus", "hallux-rigidus", "other",
}

// String returns the JSON word of the deformity.
func (d Deformity) String() string {
	if int(d) < len(deformityNames) {
		return deformityNames[d]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the deformity.
func (d Deformity) MarshalText() ([]byte, error) {
	return known.Word(deformityNames, int(d), "deformity")
}

// UnmarshalText reads the JSON word of the deformity.
func (d *Deformity) UnmarshalText(b []byte) error {
	i, err := known.Index(deformityNames, b, "deformity")
	*d = Deformity(i)
	return err
}

// Feel is what the hands found on one foot.
type Feel struct {
	// Arteries are pulses, refill and pressures.
	Arteries perfusion.Leg `json:"arteries,omitzero"`
	// Oedema: Abnormal when present.
	Oedema known.Finding `json:"oedema,omitzero"`
	// Warm: clearly warmer than the other foot to the hand.
	Warm known.Answer `json:"warm,omitzero"`
	// Swollen: clearly more swollen than the other foot.
	Swollen known.Answer `json:"swollen,omitzero"`
	// SuddenlyCold: cold, pale, painful or numb since hours or days.
	SuddenlyCold known.Answer      `json:"suddenly-cold,omitzero"`
	Temperatures heat.Temperatures `json:"temperatures,omitzero"`
}

// IsZero reports that the foot was not felt.
func (f Feel) IsZero() bool { return f == Feel{} }
