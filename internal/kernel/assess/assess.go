// Package assess is the one door to the rules: it runs neuropathy, perfusion,
// wounds, heat, danger, risk and plan over one exam, in that order.
//
// An Assessment is a pure function of the exam, the background of the record,
// the edition of the rules and a date.
package assess

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Caution is shown with every assessment, on screen and on paper.
const Caution = "This supports, and does not replace, licensed clinical judgement and local protocols. In an emergency use your local emergency route at once."

// ActiveFirst is shown beside the risk category wherever there is a red flag.
const ActiveFirst = "There is an active foot problem: what is urgent comes first. The risk category describes the foot without it, and is never a reason to wait."

// Assessment is everything concluded from one exam.
type Assessment struct {
	// Edition is the edition of the rules, such as "us-2024".
	Edition string   `json:"edition"`
	On      when.Day `json:"on"`
	// Flags are the red flags, most urgent first.
	Flags []danger.Flag `json:"flags"`
	// Active says, where there are flags, that they come before any category;
	// empty where there are none.
	Active string `json:"active,omitempty"`
	// Findings are what is abnormal or notable, in the order of the exam.
	Findings []Finding `json:"findings"`
	// LOPS is by the edition's definition; OtherLOPS by the others, for
	// comparison.
	LOPS      neuro.Result     `json:"lops"`
	OtherLOPS []neuro.Result   `json:"other-lops,omitempty"`
	PAD       perfusion.Result `json:"pad"`
	Heat      heat.Result      `json:"heat"`
	Ulcers    []wound.Result   `json:"ulcers,omitempty"`
	// Risks holds the edition's system first, then the others.
	Risks []risk.Result `json:"risks"`
	// Disagreement says in words where the systems differ; empty when not.
	Disagreement string `json:"disagreement,omitempty"`
	// Missing is what was not recorded, by purpose.
	Missing  []exam.Missing `json:"missing"`
	Plan     plan.Plan      `json:"plan"`
	Override *exam.Override `json:"override,omitempty"`
	Caution  string         `json:"caution"`
}

// Finding is one notable finding in words.
type Finding struct {
	// ID is stable, such as "pulse-absent".
	ID string `json:"id"`
	// Sides lists the feet; empty for the whole person.
	Sides []foot.Side `json:"sides,omitempty"`
	Says  string      `json:"says"`
	// Is is Yes for present, Unknown for in doubt.
	Is      known.Tri      `json:"is"`
	Because source.Because `json:"because"`
}

// Risk returns the result of the edition's own system.
func (a *Assessment) Risk() risk.Result { return a.Risks[0] }
