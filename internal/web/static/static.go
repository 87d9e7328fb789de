//go:build !js

// Package static serves the built scripts, styles and pictures out of the
// binary. Templates ask by plain name ("app.css"); the files carry a hash of
// their content in their names, so that a browser may keep each one for good.
//
// The files are made by `make assets`. Without them the program still builds
// and runs; Path then knows no name.
package static

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"sync"
)

// manifestName maps plain names to hashed ones; the assets tool writes it.
const manifestName = "manifest.json"

//go:embed all:dist
var embedded embed.FS

// built is what this binary carries. A manifest that cannot be read is a fault
// of the build, not of a request, so it stops the program.
var built = sync.OnceValue(func() *Assets {
	dist, err := fs.Sub(embedded, "dist")
	if err != nil {
		panic(err)
	}
	assets, err := Load(dist)
	if err != nil {
		panic(err)
	}
	return assets
})

// FS returns the embedded files, manifest.json among them.
func FS() fs.FS { return built().files }

// Path returns the hashed name of the file that is plainly called logical,
// such as "app-K3FQ7XAB.css" for "app.css", and whether there is one.
func Path(logical string) (string, bool) { return built().Path(logical) }

// Handler serves the embedded files. The URL path must be the bare file name:
// mount it with http.StripPrefix.
func Handler() http.Handler { return built() }

// Immutable tells the browser to keep a response for a year and never to ask
// again. It suits only content whose URL changes when the content does.
func Immutable(h http.Header) {
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
}

// Assets is one set of built files with the manifest that names them.
type Assets struct {
	files  fs.FS
	byName map[string]string // plain name -> hashed name
	hashed map[string]bool
}

// Load reads the manifest in files. A missing manifest means that nothing has
// been built, which is not an error; a manifest that is not JSON, or that names
// a file which is not there, is.
func Load(files fs.FS) (*Assets, error) {
	a := &Assets{files: files, byName: map[string]string{}, hashed: map[string]bool{}}
	content, err := fs.ReadFile(files, manifestName)
	if errors.Is(err, fs.ErrNotExist) {
		return a, nil
	}
	if err != nil {
		return nil, fmt.Errorf("static: %w", err)
	}
	if err := json.Unmarshal(content, &a.byName); err != nil {
		return nil, fmt.Errorf("static: %s: %w (run make assets)", manifestName, err)
	}
	for logical, name := range a.byName {
		if _, err := fs.Stat(files, name); err != nil {
			return nil, fmt.Errorf("static: %s names %q for %q: %w (run make assets)", manifestName, name, logical, err)
		}
		a.hashed[name] = true
	}
	return a, nil
}

// Path is as the function of the same name.
func (a *Assets) Path(logical string) (string, bool) {
	name, ok := a.byName[logical]
	return name, ok
}

// ServeHTTP answers a hashed name with its file, to be kept for good, and
// manifest.json with the manifest, to be asked for again each time. It knows no
// other name and lists nothing.
func (a *Assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Path
	switch {
	case a.hashed[name]:
		Immutable(w.Header())
	case name == manifestName && len(a.byName) > 0:
		w.Header().Set("Cache-Control", "no-cache")
	default:
		http.NotFound(w, r)
		return
	}
	http.ServeFileFS(w, r, a.files, name)
}
