package fhir

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"os"
	"strconv"
	"sync"

	"tengram/internal/clinic"
)

// Limits of what is held in memory at once. They are far above what exports
// hold; what goes beyond is set aside and named.
var usualLimits = limits{piece: 1 << 20, line: 64 << 20, document: 1 << 30}

// limits are in bytes.
type limits struct{ piece, line, document int }

// piece is a part of a file that one worker decodes: whole lines, or one
// document.
type piece struct {
	file file
	data []byte
	// line is the number of the first line in data.
	line int
	// last is the end of a file of lines; cut is why the file could not be
	// read on.
	last bool
	cut  error
	// aside is set where there is only this to tell.
	aside *clinic.Aside

	out  *batch
	done chan struct{}
}

// cutter cuts files into pieces and sends each both to the workers and, in
// order, to whoever gathers the results.
type cutter struct {
	ctx     context.Context
	work    chan<- *piece
	ordered chan<- *piece
	buffers *sync.Pool
	limits
}

// send returns false when the context has ended.
func (c *cutter) send(p *piece) bool {
	p.done = make(chan struct{})
	for _, to := range []chan<- *piece{c.ordered, c.work} {
		select {
		case to <- p:
		case <-c.ctx.Done():
			return false
		}
	}
	return true
}

func (c *cutter) aside(f file, line int, reason string) bool {
	return c.send(&piece{file: f, aside: &clinic.Aside{File: f.path, Line: line, Reason: reason}})
}

// cut sends a file; it returns false when the context has ended.
func (c *cutter) cut(f file) bool {
	opened, err := os.Open(f.path)
	if err != nil {
		return c.aside(f, 0, "cannot be opened: "+cause(err))
	}
	defer func() { _ = opened.Close() }() // it was only read
	text, err := plainText(opened)
	switch {
	case err != nil:
		return c.aside(f, 0, "cannot be read: "+cause(err))
	case text == nil:
		return c.aside(f, 0, "is UTF-16: save it as UTF-8")
	case f.lines:
		return c.lines(f, text)
	}
	return c.document(f, text)
}

// plainText unpacks gzip, whatever the file is called, and drops a byte order
// mark. It returns nil for UTF-16.
func plainText(r io.Reader) (io.Reader, error) {
	packed := bufio.NewReader(r)
	magic, err := packed.Peek(2)
	if err != nil && err != io.EOF {
		return nil, err
	}
	text := packed
	if string(magic) == "\x1f\x8b" {
		unpacked, err := gzip.NewReader(packed)
		if err != nil {
			return nil, gzipError(err)
		}
		text = bufio.NewReaderSize(unpacked, 1<<16)
	}
	mark, _ := text.Peek(3) // an error comes again with the first read
	switch {
	case string(mark) == "\xef\xbb\xbf":
		_, _ = text.Discard(3) // cannot fail: the three bytes are there
	case bytes.HasPrefix(mark, []byte("\xff\xfe")), bytes.HasPrefix(mark, []byte("\xfe\xff")):
		return nil, nil
	}
	return text, nil
}

// gzipError says in words what is wrong with a packed file.
func gzipError(err error) error {
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return errors.New("the gzip file is cut off")
	case errors.Is(err, gzip.ErrChecksum):
		return errors.New("the gzip file is damaged: its checksum is wrong")
	case errors.Is(err, gzip.ErrHeader):
		return errors.New("what looks like a gzip file is none, or damaged")
	}
	return err
}

// fill reads until b is full. At the end of the text err is io.EOF and nothing
// else; io.ErrUnexpectedEOF is a packed file that is cut off.
func fill(r io.Reader, b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		var k int
		k, err = r.Read(b[n:])
		n += k
	}
	return n, err
}

// lines sends a file in pieces of whole lines.
func (c *cutter) lines(f file, text io.Reader) bool {
	line := 1
	buf := c.buffer()
	n := 0
	for {
		k, err := fill(text, buf[n:])
		n += k
		if err != nil {
			p := &piece{file: f, data: buf[:n], line: line, last: true}
			if err != io.EOF {
				p.cut = gzipError(err)
			}
			return c.send(p)
		}
		end := bytes.LastIndexByte(buf[:n], '\n') + 1
		if end == 0 && len(buf) < c.limits.line {
			bigger := make([]byte, 2*len(buf))
			copy(bigger, buf)
			buf = bigger
			continue
		}
		next := c.buffer()
		if end == 0 {
			long := clinic.Aside{
				File: f.path, Line: line, Raw: bytes.Clone(buf[:min(n, maxRaw)]),
				Reason: "the line is longer than " + size(c.limits.line) + "; only its beginning is kept",
			}
			if !c.send(&piece{file: f, aside: &long}) {
				return false
			}
			n, err = passLine(text, next)
			buf, line = next, line+1
			if err != nil {
				continue // the next fill meets the same end
			}
			continue
		}
		for len(next) < n-end {
			next = make([]byte, 2*len(next))
		}
		rest := copy(next, buf[end:n])
		p := &piece{file: f, data: buf[:end], line: line}
		line += bytes.Count(buf[:end], []byte{'\n'})
		if !c.send(p) {
			return false
		}
		buf, n = next, rest
	}
}

// passLine reads on behind the next line feed, and returns how much of b holds
// what it read behind that.
func passLine(text io.Reader, b []byte) (n int, err error) {
	for {
		n, err = fill(text, b)
		if i := bytes.IndexByte(b[:n], '\n'); i >= 0 {
			return copy(b, b[i+1:n]), err
		}
		if err != nil {
			return 0, err
		}
	}
}

// document sends a file as one piece.
func (c *cutter) document(f file, text io.Reader) bool {
	data, err := io.ReadAll(io.LimitReader(text, int64(c.limits.document)+1))
	if len(data) > c.limits.document {
		return c.aside(f, 0, "is one document of more than "+size(c.limits.document)+": export it as NDJSON, one resource a line")
	}
	p := &piece{file: f, data: data}
	if err != nil {
		p.cut = gzipError(err)
	}
	return c.send(p)
}

func (c *cutter) buffer() []byte { return *c.buffers.Get().(*[]byte) }

// newBuffers makes the pool of the buffers that lines are read into.
func newBuffers(size int) *sync.Pool {
	return &sync.Pool{New: func() any {
		b := make([]byte, size)
		return &b
	}}
}

// recycle gives the buffer of a decoded piece back, unless it grew.
func recycle(pool *sync.Pool, data []byte, size int) {
	if cap(data) != size {
		return
	}
	data = data[:size]
	pool.Put(&data)
}

// size writes a number of bytes in MiB.
func size(bytes int) string { return strconv.Itoa(bytes>>20) + " MiB" }
