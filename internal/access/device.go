package access

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"sync"
	"time"

	"tengram/internal/clinic"
)

// deviceKeySize is the size in bytes of what a device is given: two halves of
// 32, each enough for a key of 256 bits.
const deviceKeySize = 64

// making keeps two first requests of one account from making two keys, of which
// one would open nothing later.
var making sync.Mutex

// DeviceKey returns what the drafts of the signed-in account are locked
// with on a device; the same account gets the same key each time, so that what
// was kept opens again after the next sign-in. It also says for how long a
// device may be left untouched, and when the session ends.
//
// The key is made at the first call and lies in the clinic's file, beside the
// records that it protects on other machines. It fails with code Forbidden
// where nobody is signed in.
func (g *Gate) DeviceKey(ctx context.Context) (key []byte, idle time.Duration, until time.Time, err error) {
	who, ok := g.Who(ctx)
	if !ok {
		return nil, 0, until, clinic.Errorf(clinic.Forbidden, "nobody is signed in: sign in first")
	}
	making.Lock()
	defer making.Unlock()
	store, name := g.practice.Store, "device-key:"+who.ID
	text, err := store.Setting(ctx, name)
	if err != nil {
		return nil, 0, until, err
	}
	if text == "" {
		var fresh [deviceKeySize]byte
		_, _ = rand.Read(fresh[:]) // never fails: crypto/rand ends the program instead
		text = base64.StdEncoding.EncodeToString(fresh[:])
		if err := store.SetSetting(ctx, name, text, g.line(who, "make a device key", who.ID)); err != nil {
			return nil, 0, until, err
		}
	}
	key, err = base64.StdEncoding.DecodeString(text)
	if err != nil || len(key) != deviceKeySize {
		return nil, 0, until, clinic.Errorf(clinic.Internal, "the device key of account %s is damaged: what its devices keep cannot be opened with it", who.ID)
	}
	return key, g.idle, g.sessions.Deadline(ctx), nil
}
