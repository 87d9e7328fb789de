//go:build js

package static

import (
	"embed"
	"io/fs"
	"net/http"
)

// In the browser the pages are drawn from what is there already: the program
// that is compiled for it carries no files, and no copy of itself.

// FS is empty.
func FS() fs.FS { return embed.FS{} }

// Path knows no file.
func Path(string) (string, bool) { return "", false }

// Handler serves nothing.
func Handler() http.Handler { return http.NotFoundHandler() }
