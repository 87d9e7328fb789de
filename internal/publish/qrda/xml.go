package qrda

import (
	"bytes"
	"encoding/xml"
)

// node is one element while a document is put together. A name with a prefix
// is written as it stands; the root declares the prefixes.
type node struct {
	name  string
	attrs [][2]string
	text  string
	kids  []node
}

// el makes an element with attributes given as name and value in turn; an
// attribute without a value is left out.
func el(name string, attrs ...string) node {
	n := node{name: name}
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] != "" {
			n.attrs = append(n.attrs, [2]string{attrs[i], attrs[i+1]})
		}
	}
	return n
}

// with adds elements inside.
func (n node) with(kids ...node) node {
	n.kids = append(n.kids[:len(n.kids):len(n.kids)], kids...)
	return n
}

// saying sets the text.
func (n node) saying(text string) node {
	n.text = text
	return n
}

// document writes the root with two spaces a level.
func document(root node) []byte {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	root.write(&b, "")
	return b.Bytes()
}

func (n node) write(b *bytes.Buffer, indent string) {
	b.WriteString(indent + "<" + n.name)
	for _, a := range n.attrs {
		b.WriteString(" " + a[0] + `="`)
		escape(b, a[1])
		b.WriteByte('"')
	}
	switch {
	case n.text != "":
		b.WriteByte('>')
		escape(b, n.text)
		b.WriteString("</" + n.name + ">\n")
	case len(n.kids) == 0:
		b.WriteString("/>\n")
	default:
		b.WriteString(">\n")
		for _, k := range n.kids {
			k.write(b, indent+"  ")
		}
		b.WriteString(indent + "</" + n.name + ">\n")
	}
}

func escape(b *bytes.Buffer, text string) {
	_ = xml.EscapeText(b, []byte(text)) // a bytes.Buffer never fails
}
