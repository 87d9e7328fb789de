// Package access is who may come in: accounts with a passphrase, sign-in and
// sessions.
//
// There is never a default passphrase: the first run makes one, shows it once
// and keeps only its hash. Sessions live in the clinic's own file, so that they
// can be ended, and as digests, so that a stolen file opens none.
package access

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// FirstAccount is the account that the first run makes. An empty account name
// at sign-in means it.
const FirstAccount = "practice"

// Options are what may differ from one installation to another.
type Options struct {
	// Now is the clock of idle sessions and of the limit on tries; nil is the
	// machine's own.
	Now func() time.Time
	// Secure keeps the cookie to encrypted connections. Set it wherever the
	// pages are reached through TLS; over plain loopback browsers would drop
	// the cookie.
	Secure bool
	// Lifetime ends a session however busy it is, Idle one that nobody used.
	// Zero is 12 hours and 1 hour; our choice.
	Lifetime, Idle time.Duration
}

// Gate is the door of one practice.
type Gate struct {
	practice *clinic.Clinic
	sessions *scs.SessionManager
	limits   *limits
	now      func() time.Time
	idle     time.Duration
	// unknown is a hash that no passphrase fits. An account that is not there
	// costs as much time as one that is.
	unknown string
}

// New makes the gate of a practice.
func New(practice *clinic.Clinic, o Options) (*Gate, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Lifetime == 0 {
		o.Lifetime = 12 * time.Hour
	}
	if o.Idle == 0 {
		o.Idle = time.Hour
	}
	unknown, err := hash(NewPassphrase())
	if err != nil {
		return nil, err
	}
	m := scs.New()
	m.Store = sessionStore{practice.Store}
	m.Lifetime = o.Lifetime
	m.Cookie.Name = "tengram"
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	m.Cookie.Secure = o.Secure
	return &Gate{practice: practice, sessions: m, limits: newLimits(o.Now), now: o.Now, idle: o.Idle, unknown: unknown}, nil
}

// FirstRun makes the first account where there is none, with this passphrase or,
// where it is empty, with a new one. made says whether it did; shown is the
// passphrase to show once. A clinic that has an account is left as it is.
func (g *Gate) FirstRun(ctx context.Context, passphrase string) (made bool, shown string, err error) {
	accounts, err := g.practice.Store.ListAccounts(ctx)
	if err != nil || len(accounts) > 0 {
		return false, "", err
	}
	secret := Hide(passphrase)
	if passphrase == "" {
		secret = NewPassphrase()
	}
	if err := strong(secret); err != nil {
		return false, "", err
	}
	h, err := hash(secret)
	if err != nil {
		return false, "", err
	}
	first := exam.Person{ID: FirstAccount, Name: "Practice", Role: clinic.Admin}
	made, err = g.practice.Store.FirstAccount(ctx, clinic.Account{Person: first, Hash: h}, g.line(first, "make the first account", first.ID))
	if err != nil || !made {
		return false, "", err
	}
	return true, secret.Reveal(), nil
}

// The names of what a session holds.
const (
	accountKey = "account"
	seenKey    = "seen"
)

// seenStep is how stale the note of the last use of a session may be, so that
// reading pages does not write to the disk each time.
const seenStep = time.Minute

// Sessions loads the session of each request, ends it when it was idle for too
// long, and keeps it afterwards.
func (g *Gate) Sessions(next http.Handler) http.Handler {
	return g.sessions.LoadAndSave(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx := r.Context()
		if g.sessions.Exists(ctx, accountKey) {
			now, seen := g.now().Unix(), g.sessions.GetInt64(ctx, seenKey)
			switch {
			case now-seen > int64(g.idle/time.Second):
				if err := g.sessions.Destroy(ctx); err != nil {
					http.Error(w, "The session could not be ended.", http.StatusInternalServerError)
					return
				}
			case now-seen > int64(seenStep/time.Second):
				g.sessions.Put(ctx, seenKey, now)
			}
		}
		next.ServeHTTP(w, r)
	}))
}

// errRefused is one sentence for every reason: it tells nobody which accounts
// exist.
var errRefused = clinic.Errorf(clinic.Forbidden, "account and passphrase do not fit together")

// SignIn starts a session for an account. It fails with code Forbidden, and
// after several tries in a row also with the right passphrase, until a minute
// has passed.
func (g *Gate) SignIn(ctx context.Context, account, passphrase string) error {
	if account == "" {
		account = FirstAccount
	}
	if !g.limits.allow(account) {
		return clinic.Errorf(clinic.Forbidden, "too many tries for this account: wait a minute and try again")
	}
	a, err := g.practice.Store.Account(ctx, account)
	kept := a.Hash
	switch {
	case clinic.CodeOf(err) == clinic.NotFound:
		kept = g.unknown
	case err != nil:
		return err
	}
	fits, err := fits(ctx, kept, Hide(passphrase))
	if err != nil {
		return fmt.Errorf("sign in to account %s: %w", account, err)
	}
	if !fits || a.Closed || a.Person.ID == "" {
		if a.Person.ID != "" {
			return errors.Join(errRefused, g.practice.Noted(ctx, a.Person, "sign-in refused", "", ""))
		}
		return errRefused
	}
	if err := g.sessions.RenewToken(ctx); err != nil {
		return fmt.Errorf("begin a session: %w", err)
	}
	g.sessions.Put(ctx, accountKey, account)
	g.sessions.Put(ctx, seenKey, g.now().Unix())
	g.limits.forget(account)
	return g.practice.Noted(ctx, a.Person, "sign in", "", "")
}

// SignOut ends the session.
func (g *Gate) SignOut(ctx context.Context) error {
	who, ok := g.Who(ctx)
	if err := g.sessions.Destroy(ctx); err != nil || !ok {
		return err
	}
	return g.practice.Noted(ctx, who, "sign out", "", "")
}

// Who returns the person of the session. An account that was closed meanwhile
// is nobody.
func (g *Gate) Who(ctx context.Context) (exam.Person, bool) {
	id := g.sessions.GetString(ctx, accountKey)
	if id == "" {
		return exam.Person{}, false
	}
	a, err := g.practice.Store.Account(ctx, id)
	if err != nil || a.Closed {
		return exam.Person{}, false
	}
	return a.Person, true
}

func (g *Gate) line(who exam.Person, did, object string) clinic.AuditLine {
	return clinic.AuditLine{At: g.practice.Moment(), Who: who.ID, Did: did, Object: object}
}
