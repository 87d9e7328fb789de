package access

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Tries at an account: five at once, then one every twelve seconds; our choice.
// Guessing a passphrase of twelve characters that way takes longer than anybody
// waits, and a nurse who mistyped twice does not notice.
const (
	triesAtOnce = 5
	tryEvery    = 12 * time.Second
	// accountsHeld bounds the memory that made-up account names can take;
	// beyond it all further names share one limit.
	accountsHeld = 1000
)

// limits counts tries by account.
type limits struct {
	now  func() time.Time
	mu   sync.Mutex
	held map[string]*rate.Limiter
	rest *rate.Limiter
}

func newLimits(now func() time.Time) *limits {
	return &limits{now: now, held: map[string]*rate.Limiter{}, rest: rate.NewLimiter(rate.Every(tryEvery), triesAtOnce)}
}

// allow takes one try and reports whether there was one left.
func (l *limits) allow(account string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	one := l.held[account]
	if one == nil {
		if len(l.held) >= accountsHeld {
			l.sweep()
		}
		if len(l.held) >= accountsHeld {
			return l.rest.AllowN(l.now(), 1)
		}
		one = rate.NewLimiter(rate.Every(tryEvery), triesAtOnce)
		l.held[account] = one
	}
	return one.AllowN(l.now(), 1)
}

// sweep lets go of accounts that have all their tries back.
func (l *limits) sweep() {
	for account, one := range l.held {
		if one.TokensAt(l.now()) >= triesAtOnce {
			delete(l.held, account)
		}
	}
}

// forget gives an account all its tries back.
func (l *limits) forget(account string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.held, account)
}
