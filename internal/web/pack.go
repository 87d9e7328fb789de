package web

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strings"
)

// mayPack reports whether a page is sent compressed. A page that another site
// asked for is not: the length of a compressed page tells of what is in it to
// somebody who can have parts of it chosen.
func mayPack(r *http.Request) bool {
	from := r.Header.Get("Sec-Fetch-Site")
	if from != "same-origin" && from != "none" {
		return false
	}
	for _, way := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		if name, _, _ := strings.Cut(strings.TrimSpace(way), ";"); name == "gzip" {
			return true
		}
	}
	return false
}

// packed compresses a page.
func packed(page []byte) []byte {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestSpeed) // fails for an unknown level only
	z.Write(page)                                   // a buffer takes everything
	z.Close()
	return b.Bytes()
}
