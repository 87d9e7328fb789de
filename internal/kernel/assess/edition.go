package assess

import (
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/when"
)

// Input is everything that an assessment depends on.
type Input struct {
	Exam       *exam.Draft
	Background exam.Background
	Edition    Edition
	// On is the day from which deadlines and the recall are counted, in the
	// practice's calendar: the day of the exam.
	On when.Day
}

// Edition names the rules in force: which definition of LOPS, which risk
// system leads, which plan.
type Edition struct {
	// ID is stable and stays with the signed exam, such as "us-2024".
	ID   string
	Name string
	// LOPS, Risk and Plan are ids in packages neuro, risk and plan.
	LOPS string
	Risk string
	Plan string
	// RecallChoice is the practice's choice inside a recall interval: "min",
	// "middle" or "max".
	RecallChoice string
}

// Editions lists the editions, the default first.
//
// The United States edition is led by the IWGDF categories, which the ADA
// recommends for intervals (second hand); the United Kingdom edition by NICE
// NG19. Both read LOPS by IWGDF 2023, since both systems were made for it.
func Editions() []Edition {
	return []Edition{
		{ID: "us-2024", Name: "United States: IWGDF 2023 categories, ADA 2024 actions", LOPS: "lops-iwgdf-2023", Risk: "iwgdf-2023", Plan: plan.US, RecallChoice: "middle"},
		{ID: "uk-ng19", Name: "United Kingdom: NICE NG19", LOPS: "lops-iwgdf-2023", Risk: "nice-ng19", Plan: plan.UK, RecallChoice: "middle"},
	}
}

// DefaultEdition is the edition of a practice that has chosen none.
func DefaultEdition() Edition { return Editions()[0] }

// EditionByID returns the edition of an id, or an error that lists them.
func EditionByID(id string) (Edition, error) {
	var ids []string
	for _, e := range Editions() {
		if e.ID == id {
			return e, nil
		}
		ids = append(ids, e.ID)
	}
	return Edition{}, fmt.Errorf("there is no edition %q; there are %q", id, ids)
}
