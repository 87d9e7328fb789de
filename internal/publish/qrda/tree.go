package qrda

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// element is one element of a document as read back.
type element struct {
	name  string
	attrs map[string]string
	text  string
	kids  []*element
}

// read parses a document. Names are without their prefix; the type of a value
// is the attribute "type".
func read(doc []byte) (*element, error) {
	d := xml.NewDecoder(bytes.NewReader(doc))
	var stack []*element
	var root *element
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("read the document: %w", err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			e := &element{name: t.Name.Local, attrs: map[string]string{}}
			for _, a := range t.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			if len(stack) > 0 {
				above := stack[len(stack)-1]
				above.kids = append(above.kids, e)
			} else {
				root = e
			}
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			if len(stack) > 0 {
				stack[len(stack)-1].text += strings.TrimSpace(string(t))
			}
		}
	}
	if root == nil {
		return nil, errors.New("read the document: it is empty")
	}
	return root, nil
}

// at returns the first element along a path of names, or an empty one.
func (e *element) at(path ...string) *element {
	for _, name := range path {
		found := (*element)(nil)
		for _, k := range e.kids {
			if k.name == name {
				found = k
				break
			}
		}
		if found == nil {
			return &element{}
		}
		e = found
	}
	return e
}

// all returns the elements of a name right below.
func (e *element) all(name string) []*element {
	var list []*element
	for _, k := range e.kids {
		if k.name == name {
			list = append(list, k)
		}
	}
	return list
}

// each goes through the element and all below.
func (e *element) each(do func(*element)) {
	do(e)
	for _, k := range e.kids {
		k.each(do)
	}
}

// has reports a template by its root without the prefix.
func (e *element) has(root string) bool {
	for _, t := range e.all("templateId") {
		if t.attrs["root"] == prefix+root {
			return true
		}
	}
	return false
}
