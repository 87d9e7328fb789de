package fhir

import (
	"bytes"

	"tengram/internal/intake/fhir/scan"
)

// piece decodes one piece into out.
func (d *decoder) piece(p *piece, out *batch) {
	d.out, d.file = out, &p.file
	switch {
	case p.aside != nil:
		out.aside(*p.aside)
	case p.file.lines:
		d.lines(p)
	default:
		d.document(p)
	}
}

// lines decodes one resource a line. Blank lines hold nothing.
func (d *decoder) lines(p *piece) {
	line := p.line
	for rest := p.data; len(rest) > 0; line++ {
		text, behind, ended := bytes.Cut(rest, []byte{'\n'})
		rest = behind
		if len(bytes.TrimSpace(text)) == 0 {
			continue
		}
		d.out.lines++
		err := d.decode(text, line, "")
		if err == nil {
			continue
		}
		if p.last && !ended {
			if p.cut != nil {
				d.aside(line, "", "the file cannot be read on: "+p.cut.Error(), text)
				return
			}
			err = cutOff(err)
		}
		d.failed(line, err, text)
	}
	if p.cut != nil {
		d.aside(line, "", "the file cannot be read on: "+p.cut.Error(), nil)
	}
}

// cutOff adds to the error of a file's last line, which has no line end, what
// it means if the line only breaks off.
func cutOff(err error) error {
	if f, ok := scan.FaultOf(err); !ok || f != scan.Early {
		return err
	}
	f, ok := err.(failure)
	if ok {
		err = f.error
	}
	return failure{f.resource, refusal("the file is cut off in this line: " + err.Error())}
}

// document decodes a Bundle or a single resource. A document that turns out to
// be one resource a line is read so.
func (d *decoder) document(p *piece) {
	if len(bytes.TrimSpace(p.data)) == 0 {
		reason := "is empty"
		if p.cut != nil {
			reason = p.cut.Error()
		}
		d.aside(0, "", reason, nil)
		return
	}
	lines := d.out.lines
	err := d.decode(p.data, 0, "")
	if d.out.lines == lines {
		d.out.lines++
	}
	if f, ok := scan.FaultOf(err); ok && f == scan.Trailing && d.byLine(p.data) {
		d.out.lines--
		p.line, p.last = 1, true
		d.lines(p)
		return
	}
	switch {
	case p.cut != nil:
		d.aside(0, "", "the file cannot be read on: "+p.cut.Error(), p.data)
	case err != nil:
		d.failed(0, err, p.data)
	}
}

// byLine reports whether the first line of a document is a whole value.
func (d *decoder) byLine(data []byte) bool {
	data = bytes.TrimLeft(data, " \t\r\n")
	first, _, more := bytes.Cut(data, []byte{'\n'})
	d.s.Reset(first)
	return d.s.End() == nil && more
}
