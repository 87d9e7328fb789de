package clinic

import (
	"context"
	"iter"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Store keeps what the clinic knows. SQLite is the embedded default; another
// database satisfies the same interface and the same suite of tests
// (internal/store/storetest).
//
// A write that returned nil is durable: it survives a kill of the process.
// Every method that writes on behalf of a person writes the audit line in the
// same transaction.
type Store interface {
	Importer
	Charts
	Exams
	Panel
	Referrals
	Settings
	Close() error
}

// Importer takes in what came from outside.
type Importer interface {
	// SaveImport puts people and facts in, one transaction a call. A fact is
	// identified by person and key; one that is already there with the same
	// content is counted as Same and not written. Facts of people who are not
	// known yet are kept and joined when the person comes.
	SaveImport(ctx context.Context, batch ImportBatch) (ImportCounts, error)
	// KeepAside keeps what could not be read, with file, line and reason.
	KeepAside(ctx context.Context, aside []Aside) error
	// Asides lists what was kept aside, newest first.
	Asides(ctx context.Context, limit int) ([]Aside, error)
}

// ImportBatch is one transaction's worth of an import.
type ImportBatch struct {
	People []record.Person
	Facts  []PersonFact
}

// PersonFact is a fact with the id of the person it is about.
type PersonFact struct {
	Person string
	Fact   record.Fact
}

// ImportCounts says what a batch changed.
type ImportCounts struct {
	New, Changed, Same int
	// Touched are the people whose record changed.
	Touched []string
}

// Aside is one thing of an import that was not taken in, and why.
type Aside struct {
	File string `json:"file"`
	// Line in the file, or entry in a Bundle; 0 for the whole file.
	Line int `json:"line,omitempty"`
	// Resource such as "Patient/17" where it could be read.
	Resource string `json:"resource,omitempty"`
	Reason   string `json:"reason"`
	// Raw is the text itself, so that nothing is lost.
	Raw []byte `json:"-"`
}

// Charts reads whole records.
type Charts interface {
	// Record returns one person's record, or an error with code NotFound.
	Record(ctx context.Context, person string) (record.Record, error)
	// Records goes through all records in order of person id. A record that
	// cannot be read yields its error and the next one follows.
	Records(ctx context.Context) iter.Seq2[record.Record, error]
}

// Exams keeps drafts and signed exams.
type Exams interface {
	// KeepDraft keeps the newest state of an unsigned exam.
	KeepDraft(ctx context.Context, who exam.Person, draft exam.Draft) error
	// Draft returns an unsigned exam by its id.
	Draft(ctx context.Context, id string) (exam.Draft, error)
	// DraftsOf lists the unsigned exams of a person.
	DraftsOf(ctx context.Context, person string) ([]exam.Draft, error)
	// KeepSigned keeps a signed revision, the person's new standing and the
	// referrals it opens, and drops the draft, in one transaction. The same
	// idempotency key again returns the exam that was kept then, and
	// already=true. A revision whose base is not the newest is refused with
	// code Conflict; both versions stay readable.
	KeepSigned(ctx context.Context, signed Signed) (kept record.SignedExam, already bool, err error)
	// Revisions lists every signed revision of an exam, oldest first.
	Revisions(ctx context.Context, id string) ([]record.SignedExam, error)
}

// Signed is everything that one signature writes.
type Signed struct {
	Key       string
	Exam      record.SignedExam
	Standing  Standing
	Referrals []record.Referral
	Audit     AuditLine
}

// Standing is the derived row of one person on the panel, rebuilt whenever the
// record changes. It holds days, not "late or not", so that it does not age.
type Standing struct {
	Person    string      `json:"person"`
	Family    string      `json:"family"`
	Given     string      `json:"given"`
	Birth     when.Moment `json:"birth,omitzero"`
	Phone     string      `json:"phone,omitempty"`
	Language  string      `json:"language,omitempty"`
	Clinician string      `json:"clinician,omitempty"`
	Site      string      `json:"site,omitempty"`
	// Diabetes says whether the person belongs to the diabetes panel.
	Diabetes known.Tri `json:"diabetes"`
	// Watched is false for people who are not called: dead, left, hospice.
	Watched bool `json:"watched"`
	// RiskLow and RiskHigh bound the category; -1 is never assessed.
	RiskLow  int    `json:"risk-low"`
	RiskHigh int    `json:"risk-high"`
	RiskWord string `json:"risk-word,omitempty"`
	// LastExam is the day of the last full exam, zero for never.
	LastExam when.Day `json:"last-exam,omitzero"`
	// Due is when the next exam is due, OverdueAfter the last day of the
	// interval; both are zero for a person who is not recalled.
	Due          when.Day `json:"due,omitzero"`
	OverdueAfter when.Day `json:"overdue-after,omitzero"`
	// Why is the reason in one sentence.
	Why string `json:"why"`
	// NextVisit is the next booked visit, where the record has one.
	NextVisit when.Day `json:"next-visit,omitzero"`
	// OpenUlcers and OpenReferrals count what is being followed.
	OpenUlcers    int `json:"open-ulcers,omitempty"`
	OpenReferrals int `json:"open-referrals,omitempty"`
}

// Panel reads and writes standings.
type Panel interface {
	// SaveStandings replaces the rows of these people.
	SaveStandings(ctx context.Context, rows []Standing) error
	// Standings lists rows by the query, in the query's order.
	Standings(ctx context.Context, q PanelQuery) (rows []Standing, total int, err error)
}

// PanelQuery selects rows of the panel.
type PanelQuery struct {
	// Text filters by name or id, case-insensitively, part of a word.
	Text string
	// DueBy, when set, keeps people whose exam is due on or before that day.
	DueBy when.Day
	// Diabetes keeps the diabetes panel only.
	Diabetes bool
	// People, when set, keeps these ids only.
	People []string
	// Clinician and Site filter exactly.
	Clinician, Site string
	// Order is "due" (risk, then lateness), "name" or "ulcers".
	Order         string
	Limit, Offset int
}

// Referrals keeps referrals.
type Referrals interface {
	// KeepReferral writes the newest state of a referral.
	KeepReferral(ctx context.Context, person string, r record.Referral, audit AuditLine) error
	// OpenReferrals lists referrals that are not closed, earliest deadline
	// first, with the person each belongs to.
	OpenReferrals(ctx context.Context) ([]PersonReferral, error)
}

// PersonReferral is a referral with its person's panel row.
type PersonReferral struct {
	Standing Standing
	Referral record.Referral
}

// Settings keeps small named texts and the audit trail.
type Settings interface {
	Setting(ctx context.Context, key string) (value string, err error)
	SetSetting(ctx context.Context, key, value string, audit AuditLine) error
	// Audit lists audit lines, newest first.
	Audit(ctx context.Context, limit int) ([]AuditLine, error)
}

// AuditLine says who did what to whose record, when. It names ids only.
type AuditLine struct {
	At     when.Moment `json:"at"`
	Who    string      `json:"who"`
	Did    string      `json:"did"`
	Person string      `json:"person,omitempty"`
	Object string      `json:"object,omitempty"`
}
