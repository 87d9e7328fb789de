package web

import (
	"github.com/a-h/templ"

	"tengram/internal/web/static"
)

// asset is the address of a built file.
func asset(name string) (templ.SafeURL, bool) {
	path, ok := static.Path(name)
	return templ.SafeURL("/static/" + path), ok
}

func whoName(f frame) string {
	if f.Who.Name != "" {
		return f.Who.Name
	}
	return f.Who.ID
}
