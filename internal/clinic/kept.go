package clinic

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// ImportBatch is one transaction's worth of an import.
type ImportBatch struct {
	People []record.Person
	Facts  []PersonFact
	// Remove lists keys to take back, such as "Condition/17", or
	// "Patient/17". A person who has exams, drafts or referrals here is kept
	// and made inactive.
	Remove []string
}

// PersonFact is a fact with the id of the person it is about.
type PersonFact struct {
	Person string
	Fact   record.Fact
}

// ImportCounts says what a batch changed.
type ImportCounts struct {
	New, Same, Removed int
	// Older were passed over: a newer version was here, or came before them.
	Older int
	// Changes are what was there with other content.
	Changes []Change
	// Touched are the people whose record changed, in order of id.
	Touched []string
}

// Change is one person or fact whose content an import replaced. Before and
// After are hashes of the content, so that an import that holds two versions of
// one thing can tell whether it left the thing as it was.
type Change struct {
	// Key is the person's id and, for a fact, its key.
	Key           string
	Before, After uint64
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

// Signed is everything that one signature writes.
type Signed struct {
	// Key is the idempotency key of the request; Content is a digest of the
	// document as it was sent, so that a key used twice for different things
	// is found out.
	Key, Content string
	// Sealed is the text of the document where a device signed it: kept byte
	// for byte beside what was read from it. nil where it was put together here.
	Sealed []byte
	// Exam's document says its own revision; a revision above 1 amends the one
	// before it.
	Exam record.SignedExam
	// Derived is made from the record with this exam in it. Its Version is the
	// version of the record that was read, before this signature.
	Derived Derived
	// Referrals are new ones and changed ones, each as it is to stand.
	Referrals []record.Referral
	Audit     AuditLine
}

// PersonReferral is a referral with its person's panel row.
type PersonReferral struct {
	Standing Standing
	Referral record.Referral
}

// AuditLine says who did what to whose record, when. It names ids only.
type AuditLine struct {
	At     when.Moment `json:"at"`
	Who    string      `json:"who"`
	Did    string      `json:"did"`
	Person string      `json:"person,omitempty"`
	Object string      `json:"object,omitempty"`
}

// Account is somebody who may sign in.
type Account struct {
	Person exam.Person
	// Hash is the encoded hash of the passphrase, never the passphrase.
	Hash string
	// Closed: may not sign in any more. Accounts are never deleted, so that
	// the audit trail keeps its names.
	Closed bool
}
