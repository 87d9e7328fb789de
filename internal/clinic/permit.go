package clinic

import (
	"context"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
)

// Act is something that a role may or may not do.
type Act string

// The acts.
const (
	// See is to look at people, lists and measures.
	See Act = "see"
	// Examine is to keep drafts, sign and amend exams, and follow referrals.
	Examine Act = "examine"
	// Overrule is to put one's own risk category beside the computed one.
	Overrule Act = "overrule"
	// Bring is to import, Take to export whole records.
	Bring Act = "bring"
	Take  Act = "take"
	// Decide is to choose the edition in force and other settings.
	Decide Act = "decide"
	// Manage is to open and close accounts and to read the audit trail.
	Manage Act = "manage"
)

// The roles of the practice.
const (
	Viewer    = "viewer"
	Nurse     = "nurse"
	Clinician = "clinician"
	Lead      = "lead"
	Admin     = "admin"
)

// Roles lists the roles, those with the fewest rights first.
func Roles() []string { return []string{Viewer, Nurse, Clinician, Lead, Admin} }

// rights lists what each role may do. A role that is not in it may do nothing.
func rights(role string) []Act {
	switch role {
	case Viewer:
		return []Act{See}
	case Nurse:
		return []Act{See, Examine}
	case Clinician:
		return []Act{See, Examine, Overrule}
	case Lead:
		return []Act{See, Examine, Overrule, Bring, Take, Decide}
	case Admin:
		return []Act{See, Examine, Overrule, Bring, Take, Decide, Manage}
	}
	return nil
}

// May reports whether the role of a person allows the act. Pages ask it to
// leave out what would be refused; every use case asks it again.
func May(who exam.Person, act Act) bool {
	if who.ID == "" {
		return false
	}
	for _, a := range rights(who.Role) {
		if a == act {
			return true
		}
	}
	return false
}

// allow returns an error with code Forbidden where the person may not.
func allow(who exam.Person, act Act) error {
	if May(who, act) {
		return nil
	}
	if who.ID == "" {
		return Errorf(Forbidden, "nobody is signed in: sign in first")
	}
	return Errorf(Forbidden, "the role %q of %q may not %s: ask a person of the practice who may", who.Role, who.ID, act)
}

// line makes an audit line of now.
func (c *Clinic) line(who exam.Person, did, person, object string) AuditLine {
	return AuditLine{At: c.Moment(), Who: who.ID, Did: did, Person: person, Object: object}
}

// Moment is now, in the practice's zone.
func (c *Clinic) Moment() when.Moment { return when.AtTime(c.Now().In(c.Zone)) }

// Noted writes an audit line for something that happened outside the use
// cases, such as a sign-in or a printed letter. It names ids only.
func (c *Clinic) Noted(ctx context.Context, who exam.Person, did, person, object string) error {
	return c.Store.KeepAudit(ctx, c.line(who, did, person, object))
}

// AuditTrail lists the newest audit lines.
func (c *Clinic) AuditTrail(ctx context.Context, who exam.Person, limit int) ([]AuditLine, error) {
	if err := allow(who, Manage); err != nil {
		return nil, err
	}
	return c.Store.Audit(ctx, limit)
}
