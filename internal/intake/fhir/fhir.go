// Package fhir reads FHIR R4 files: bulk exports of one resource a line,
// Bundles, single resources, packed or not.
//
// Nothing is lost and nothing stops the rest: what cannot be used is named with
// file, line and reason, and everything else goes in. Each resource is judged
// by itself; the types that hold nothing for foot care are checked and counted.
// The files are decoded by all cores, and handed over in their order, so that
// the same files give the same result.
package fhir

import (
	"context"
	"runtime"
	"sync"

	"tengram/internal/clinic"
)

// Options are choices for a Reader; the zero value is right for most.
type Options struct {
	// Workers decode at the same time; 0 is one for each core.
	Workers int
}

// Reader reads files and folders. It is a clinic.Source.
type Reader struct {
	paths   []string
	workers int
	limits  limits
}

// Open makes a Reader for files and folders. Nothing is opened before Read.
func Open(paths []string, o Options) *Reader {
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return &Reader{paths, o.Workers, usualLimits}
}

// Read reads everything and hands it to sink. The error is for a path that does
// not exist, a sink that failed or a context that ended; the report then counts
// what was handed over until then.
//
// Facts whose person is told by an identifier only come last, when all people
// of the files are known.
func (r *Reader) Read(ctx context.Context, sink clinic.Sink) (clinic.ReadReport, error) {
	files, asides, err := list(r.paths)
	if err != nil {
		return clinic.ReadReport{}, err
	}
	g := newGatherer(sink)
	g.report.Files = len(files)
	for _, a := range asides {
		if err := g.aside(a); err != nil {
			return g.finish(), err
		}
	}
	names := r.readDirectory(ctx, files)
	ctx, stop := context.WithCancel(ctx)
	var running sync.WaitGroup
	defer running.Wait()
	defer stop()

	work := make(chan *piece, r.workers)
	ordered := make(chan *piece, 2*r.workers)
	buffers := newBuffers(r.limits.piece)
	running.Go(func() {
		defer close(work)
		defer close(ordered)
		c := cutter{ctx: ctx, work: work, ordered: ordered, buffers: buffers, limits: r.limits}
		for _, f := range files {
			if !c.cut(f) {
				return
			}
		}
	})
	for range r.workers {
		running.Go(func() {
			d := newDecoder(names)
			for p := range work {
				p.out = g.batches.Get().(*batch)
				d.piece(p, p.out)
				recycle(buffers, p.data, r.limits.piece)
				p.data = nil
				close(p.done)
			}
		})
	}
	for p := range ordered {
		select {
		case <-p.done:
		case <-ctx.Done():
			return g.finish(), ctx.Err()
		}
		if err := g.take(p.out); err != nil {
			return g.finish(), err
		}
	}
	if err := ctx.Err(); err != nil {
		return g.finish(), err
	}
	err = g.late()
	return g.finish(), err
}

var _ clinic.Source = (*Reader)(nil)
