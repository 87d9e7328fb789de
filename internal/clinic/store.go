package clinic

import (
	"context"
	"iter"
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Store keeps what the clinic knows. SQLite is the embedded default; another
// database satisfies the same interface and the same suite of tests
// (internal/store/storetest).
//
// A write that returned nil is durable: it survives a kill of the process and,
// on a disk that keeps its promises, a loss of power. Every method that writes
// on behalf of a person writes the audit line in the same transaction.
//
// An error that a person can do something about has a Code; a missing thing is
// NotFound.
type Store interface {
	Importer
	Charts
	Exams
	Panel
	Referrals
	Settings
	Accounts
	Close() error
}

// Importer takes in what came from outside.
type Importer interface {
	// SaveImport puts people and facts in, one transaction a call. A fact is
	// identified by person and key; one that is already there with the same
	// content is counted as Same and not written, whichever file it stood in.
	// Facts of people who are not known yet are kept and joined when the person
	// comes. Removals happen after everything else of the batch. Of two with the
	// same id or key, in a batch or one of them here already, the newer version
	// stands (record.Version); where versions do not decide, the later one.
	SaveImport(ctx context.Context, batch ImportBatch) (ImportCounts, error)
	// KeepAside keeps what could not be read, with file, line and reason. What
	// is already there word for word is not kept twice.
	KeepAside(ctx context.Context, aside []Aside) error
	// Asides lists what was kept aside, newest first, without the raw text.
	Asides(ctx context.Context, limit int) ([]Aside, error)
}

// Charts reads whole records.
type Charts interface {
	// Record returns one person's record, or an error with code NotFound.
	Record(ctx context.Context, person string) (record.Record, error)
	// Records goes through all records in order of person id, by bytes, as of
	// one moment. A record that cannot be read yields its error, with the id in
	// the record's Person, and the next one follows.
	Records(ctx context.Context) iter.Seq2[record.Record, error]
	// Somebody who was merged into another person who is here has no record of
	// their own: their facts, exams and referrals stand in the other's.
	// RecordsOf is Records for some people; unknown ids are passed over, and
	// the id of somebody who was merged stands for the other's.
	RecordsOf(ctx context.Context, people []string) iter.Seq2[record.Record, error]
	// Changes counts up with every write that changed a record. What was made
	// from all records at one count holds as long as the count is the same.
	Changes(ctx context.Context) (int64, error)
}

// Exams keeps drafts and signed exams.
type Exams interface {
	// KeepDraft keeps the newest state of an unsigned exam. A draft of a
	// revision that is signed already is refused with code Conflict, one of an
	// unknown person with NotFound.
	KeepDraft(ctx context.Context, who exam.Person, draft exam.Draft) error
	// Draft returns an unsigned exam by its id.
	Draft(ctx context.Context, id string) (exam.Draft, error)
	// DraftsOf lists the unsigned exams of a person, newest first; of everybody
	// where person is empty.
	DraftsOf(ctx context.Context, person string) ([]exam.Draft, error)
	// DropDraft throws an unsigned exam away; audit says who did.
	DropDraft(ctx context.Context, id string, audit AuditLine) error
	// KeepSigned keeps a signed revision, what is derived from the record with
	// it, and the referrals it opens, and drops the draft, in one transaction.
	// The same idempotency key with the same content again returns the exam
	// that was kept then, and already=true. The same key with other content,
	// and a revision whose base is not the newest, are refused with code
	// Conflict; the document is then kept as a draft, so that both can be read.
	// Where the record is not of the version that Derived was made from any
	// more, nothing is written and the error's cause is ErrMoved.
	KeepSigned(ctx context.Context, signed Signed) (kept record.SignedExam, already bool, err error)
	// Revisions lists every signed revision of an exam, oldest first.
	Revisions(ctx context.Context, id string) ([]record.SignedExam, error)
	// Sealed returns the text of a signed revision byte for byte as a device
	// signed it, nil where it was not signed on one, and NotFound for none.
	Sealed(ctx context.Context, id string, revision int) ([]byte, error)
}

// Panel keeps what is derived from the records.
type Panel interface {
	// MarkStale marks every record whose derived rows were made by other rules
	// than these, or only hold until today.
	MarkStale(ctx context.Context, rules string, today when.Day) error
	// Stale lists people whose derived rows are missing, marked, or older than
	// their record, in order of id, starting behind after.
	Stale(ctx context.Context, after string, limit int) ([]string, error)
	// SaveDerived replaces the rows of these people. Rows that were derived
	// from an older version of the record, or by other rules than those last
	// marked, are not written: the person stays stale.
	SaveDerived(ctx context.Context, rows []Derived) error
	// Standings lists rows by the query, in the query's order, and counts all
	// that match.
	Standings(ctx context.Context, q PanelQuery) (rows []Standing, total int, err error)
	// Measured lists the kept results of one measure and year in order of
	// person id, with each person's row; Tally adds them up.
	Measured(ctx context.Context, id string, year int) iter.Seq2[MeasurePerson, error]
	Tally(ctx context.Context, id string, year int) (measure.Counts, error)
	// OpenUlcers lists the ulcers that are followed, longest open first.
	OpenUlcers(ctx context.Context) ([]UlcerRow, error)
	// Counts counts the panel for the summary.
	Counts(ctx context.Context, today when.Day) (Counts, error)
}

// Referrals keeps referrals.
type Referrals interface {
	// KeepReferral writes the newest state of a referral. Steps are only ever
	// added: a state with fewer steps than are kept is refused with Conflict.
	KeepReferral(ctx context.Context, person string, r record.Referral, audit AuditLine) error
	// Referral returns one referral of a person.
	Referral(ctx context.Context, person, id string) (record.Referral, error)
	// OpenReferrals lists referrals that are not closed, earliest deadline
	// first, with the person each belongs to.
	OpenReferrals(ctx context.Context) ([]PersonReferral, error)
}

// Settings keeps small named texts and the audit trail.
type Settings interface {
	// Setting returns the text, "" where it was never set.
	Setting(ctx context.Context, key string) (value string, err error)
	SetSetting(ctx context.Context, key, value string, audit AuditLine) error
	// KeepAudit writes an audit line of its own.
	KeepAudit(ctx context.Context, line AuditLine) error
	// Audit lists audit lines, newest first.
	Audit(ctx context.Context, limit int) ([]AuditLine, error)
}

// Accounts keeps who may sign in, and who is.
type Accounts interface {
	// Account returns an account by its id, or NotFound.
	Account(ctx context.Context, id string) (Account, error)
	// ListAccounts lists all accounts in order of id.
	ListAccounts(ctx context.Context) ([]Account, error)
	// KeepAccount writes an account.
	KeepAccount(ctx context.Context, a Account, audit AuditLine) error
	// FirstAccount writes the account only if there is none at all, and says
	// whether it did.
	FirstAccount(ctx context.Context, a Account, audit AuditLine) (made bool, err error)
	// Session returns the data of an unexpired session; found is false for
	// none.
	Session(ctx context.Context, token string, now time.Time) (data []byte, found bool, err error)
	// KeepSession writes a session and forgets those that ended before now.
	KeepSession(ctx context.Context, token string, data []byte, expires, now time.Time) error
	// DropSession forgets a session.
	DropSession(ctx context.Context, token string) error
}
