package access

import (
	"context"
	"errors"
	"time"

	"github.com/alexedwards/scs/v2"

	"tengram/internal/clinic"
)

// sessionStore keeps the session manager's sessions in the clinic's file. Their
// ends are in the machine's time, whatever day a demonstration clinic lives in.
type sessionStore struct{ accounts clinic.Accounts }

var _ scs.CtxStore = sessionStore{}

// FindCtx returns the data of a session that has not ended.
func (s sessionStore) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	return s.accounts.Session(ctx, token, time.Now())
}

// CommitCtx keeps a session.
func (s sessionStore) CommitCtx(ctx context.Context, token string, data []byte, expiry time.Time) error {
	return s.accounts.KeepSession(ctx, token, data, expiry, time.Now())
}

// DeleteCtx ends a session.
func (s sessionStore) DeleteCtx(ctx context.Context, token string) error {
	return s.accounts.DropSession(ctx, token)
}

var errNoContext = errors.New("sessions are only reached with a context")

// Find, Commit and Delete are asked for by the interface and never called where
// there are methods with a context.

// Find fails.
func (sessionStore) Find(string) ([]byte, bool, error) { return nil, false, errNoContext }

// Commit fails.
func (sessionStore) Commit(string, []byte, time.Time) error { return errNoContext }

// Delete fails.
func (sessionStore) Delete(string) error { return errNoContext }
