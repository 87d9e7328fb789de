//go:build js

package static

import "net/http"

// In the browser the pages are drawn from what is there already: the program
// that is compiled for it carries no files, and no copy of itself.

// Path knows no file.
func Path(string) (string, bool) { return "", false }

// Handler serves nothing.
func Handler() http.Handler { return http.NotFoundHandler() }
