package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"testing"
)

func TestAPageIsPackedForItsOwnReadersOnly(t *testing.T) {
	for _, row := range []struct {
		name, site, accepts string
		want                bool
	}{
		{"a link of our own", "same-origin", "gzip, deflate, br", true},
		{"typed by hand", "none", "br;q=1, gzip;q=0.5", true},
		{"asked by another site", "cross-site", "gzip", false},
		{"a browser that does not say", "", "gzip", false},
		{"a reader without gzip", "same-origin", "br, x-gzip-like", false},
	} {
		r := &http.Request{Header: http.Header{"Sec-Fetch-Site": {row.site}, "Accept-Encoding": {row.accepts}}}
		if got := mayPack(r); got != row.want {
			t.Errorf("%s: packed %v, want %v", row.name, got, row.want)
		}
	}
}

func TestAPackedPageComesBackWhole(t *testing.T) {
	page := bytes.Repeat([]byte("both feet "), 5000)
	z, err := gzip.NewReader(bytes.NewReader(packed(page)))
	if err != nil {
		t.Fatal(err)
	}
	back, err := io.ReadAll(z)
	if err != nil || !bytes.Equal(back, page) {
		t.Errorf("%d bytes came back as %d, %v", len(page), len(back), err)
	}
	if len(packed(page)) > len(page)/10 {
		t.Errorf("%d bytes are packed into %d", len(page), len(packed(page)))
	}
}
