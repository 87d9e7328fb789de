package clinic

import (
	"context"
	"slices"
	"sync"
	"time"
)

// mostKept is how many trends are kept at once; each has a line for every person
// counted.
const mostKept = 6

// trendDesk makes trends beside the requests that ask for them, one at a time,
// and keeps them. The zero value is ready.
type trendDesk struct {
	mu   sync.Mutex
	kept []keptTrends // those asked for last come last
	work map[trendKey]*trendWork
	// turn is held by the one that is at work.
	turn   sync.Mutex
	doing  sync.WaitGroup
	ending chan struct{} // closed by end; nil before the first work
}

type trendKey struct {
	measure string
	year    int
}

type keptTrends struct {
	key    trendKey
	state  trendState
	trends *Trends
}

// trendWork is one making of trends. trends and err are set before done closes.
type trendWork struct {
	state  trendState
	done   chan struct{}
	trends *Trends
	err    error
	// told: somebody was given err, and may ask again.
	told bool
}

func (w *trendWork) over() bool {
	select {
	case <-w.done:
		return true
	default:
		return false
	}
}

// get returns what is kept for a state, or waits for it to be made. When the
// wait is over it returns the last known, which may be nil.
func (d *trendDesk) get(ctx context.Context, key trendKey, state trendState, wait time.Duration, do func(context.Context) (*Trends, error)) (*Trends, error) {
	var late <-chan time.Time
	if wait >= 0 {
		timer := time.NewTimer(wait)
		defer timer.Stop()
		late = timer.C
	}
	for {
		w, last := d.begin(key, state, do)
		if w == nil {
			return last, nil
		}
		select {
		case <-w.done:
			if w.err != nil {
				d.tell(w)
				return nil, w.err
			}
			if w.state.serves(state) {
				return w.trends, nil
			}
			// That was begun for an older state; another is needed.
		case <-late:
			if last == nil {
				return nil, nil
			}
			old := *last
			old.Outdated = true
			return &old, nil
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// begin returns what is kept for a state; or the work that makes it, begun by
// this call or an earlier one, with the last known beside it.
func (d *trendDesk) begin(key trendKey, state trendState, do func(context.Context) (*Trends, error)) (*trendWork, *Trends) {
	d.mu.Lock()
	defer d.mu.Unlock()
	var last *Trends
	if i := slices.IndexFunc(d.kept, func(k keptTrends) bool { return k.key == key }); i >= 0 {
		k := d.kept[i]
		d.kept = append(slices.Delete(d.kept, i, i+1), k)
		if k.state.serves(state) {
			return nil, k.trends
		}
		last = k.trends
	}
	if w := d.work[key]; w != nil && (!w.over() || !w.told) {
		return w, last
	}
	if d.ending == nil {
		d.ending, d.work = make(chan struct{}), map[trendKey]*trendWork{}
	}
	w := &trendWork{state: state, done: make(chan struct{})}
	d.work[key] = w
	d.doing.Go(func() { d.run(key, w, do) })
	return w, last
}

// tell notes that a failure was told, so that the next question tries again.
func (d *trendDesk) tell(w *trendWork) {
	d.mu.Lock()
	defer d.mu.Unlock()
	w.told = true
}

// run makes trends when its turn comes, unless the program ends before.
func (d *trendDesk) run(key trendKey, w *trendWork, do func(context.Context) (*Trends, error)) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	go func() {
		select {
		case <-d.ending:
			cancel()
		case <-ctx.Done():
		}
	}()
	d.turn.Lock()
	defer d.turn.Unlock()
	trends, err := do(ctx)
	d.mu.Lock()
	defer d.mu.Unlock()
	defer close(w.done)
	w.trends, w.err = trends, err
	if err != nil {
		return
	}
	delete(d.work, key)
	d.kept = slices.DeleteFunc(d.kept, func(k keptTrends) bool { return k.key == key })
	d.kept = append(d.kept[max(0, len(d.kept)-mostKept+1):], keptTrends{key, w.state, trends})
}

// end stops what is under way and waits for it. It is called once, when nobody
// asks any more.
func (d *trendDesk) end() {
	d.mu.Lock()
	if d.ending != nil {
		close(d.ending)
	}
	d.mu.Unlock()
	d.doing.Wait()
}
