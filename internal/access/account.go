package access

import (
	"context"
	"slices"
	"strings"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// Accounts lists all accounts; their hashes are left out.
func (g *Gate) Accounts(ctx context.Context, who exam.Person) ([]clinic.Account, error) {
	if !clinic.May(who, clinic.Manage) {
		return nil, mayNot(who)
	}
	list, err := g.practice.Store.ListAccounts(ctx)
	for i := range list {
		list[i].Hash = ""
	}
	return list, err
}

// Add opens an account and returns its passphrase, to be shown once.
func (g *Gate) Add(ctx context.Context, who, person exam.Person) (Secret, error) {
	if !clinic.May(who, clinic.Manage) {
		return Secret{}, mayNot(who)
	}
	if person.ID == "" || person.ID != strings.TrimSpace(person.ID) {
		return Secret{}, clinic.Errorf(clinic.Invalid, "an account needs a name without spaces around it")
	}
	if !slices.Contains(clinic.Roles(), person.Role) {
		return Secret{}, clinic.Errorf(clinic.Invalid, "a role is one of %q, not %q", clinic.Roles(), person.Role)
	}
	if _, err := g.practice.Store.Account(ctx, person.ID); clinic.CodeOf(err) != clinic.NotFound {
		if err != nil {
			return Secret{}, err
		}
		return Secret{}, clinic.Errorf(clinic.Conflict, "there is an account %q already", person.ID)
	}
	return g.keep(ctx, who, clinic.Account{Person: person}, "open account")
}

// Renew gives an account a new passphrase and returns it, to be shown once. A
// closed account is open again.
func (g *Gate) Renew(ctx context.Context, who exam.Person, id string) (Secret, error) {
	if !clinic.May(who, clinic.Manage) {
		return Secret{}, mayNot(who)
	}
	a, err := g.practice.Store.Account(ctx, id)
	if err != nil {
		return Secret{}, err
	}
	a.Closed = false
	return g.keep(ctx, who, a, "renew passphrase")
}

func (g *Gate) keep(ctx context.Context, who exam.Person, a clinic.Account, did string) (Secret, error) {
	secret := NewPassphrase()
	var err error
	if a.Hash, err = hash(secret); err != nil {
		return Secret{}, err
	}
	if err := g.practice.Store.KeepAccount(ctx, a, g.line(who, did, a.Person.ID)); err != nil {
		return Secret{}, err
	}
	g.limits.forget(a.Person.ID)
	return secret, nil
}

// Shut closes an account: its sessions end with the next request, and its name
// stays in the audit trail. Nobody closes their own.
func (g *Gate) Shut(ctx context.Context, who exam.Person, id string) error {
	if !clinic.May(who, clinic.Manage) {
		return mayNot(who)
	}
	if id == who.ID {
		return clinic.Errorf(clinic.Invalid, "nobody closes their own account: another administrator does")
	}
	a, err := g.practice.Store.Account(ctx, id)
	if err != nil {
		return err
	}
	a.Closed = true
	return g.practice.Store.KeepAccount(ctx, a, g.line(who, "close account", id))
}

// Change replaces one's own passphrase.
func (g *Gate) Change(ctx context.Context, who exam.Person, old, next Secret) error {
	if !g.limits.allow(who.ID) {
		return clinic.Errorf(clinic.Forbidden, "too many tries for this account: wait a minute and try again")
	}
	a, err := g.practice.Store.Account(ctx, who.ID)
	if err != nil {
		return err
	}
	ok, err := fits(ctx, a.Hash, old)
	if err != nil {
		return err
	}
	if !ok || a.Closed {
		return clinic.Errorf(clinic.Forbidden, "the passphrase in use is not that one")
	}
	if err := strong(next); err != nil {
		return err
	}
	if a.Hash, err = hash(next); err != nil {
		return err
	}
	g.limits.forget(who.ID)
	return g.practice.Store.KeepAccount(ctx, a, g.line(who, "change passphrase", who.ID))
}

func mayNot(who exam.Person) error {
	return clinic.Errorf(clinic.Forbidden, "%q may not manage accounts: an administrator may", who.ID)
}
