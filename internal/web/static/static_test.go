package static

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"
)

func file(content string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(content)} }

func loaded(t *testing.T, files fstest.MapFS) *Assets {
	t.Helper()
	a, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func some(t *testing.T) *Assets {
	return loaded(t, fstest.MapFS{
		"manifest.json":    file(`{"app.js": "app-AAAA.js", "kernel.wasm": "kernel-BBBB.wasm"}`),
		"app-AAAA.js":      file("1"),
		"kernel-BBBB.wasm": file("2"),
		"stray.txt":        file("3"),
		".gitkeep":         file(""),
	})
}

func TestPathKnowsTheNamesInTheManifest(t *testing.T) {
	a := some(t)
	if name, ok := a.Path("app.js"); name != "app-AAAA.js" || !ok {
		t.Errorf("app.js is %q, %v", name, ok)
	}
	if name, ok := a.Path("app.css"); name != "" || ok {
		t.Errorf("app.css, which was not built, is %q, %v", name, ok)
	}
}

func TestNothingBuiltIsNoError(t *testing.T) {
	a := loaded(t, fstest.MapFS{".gitkeep": file("")})
	if name, ok := a.Path("app.js"); ok {
		t.Errorf("app.js is %q in an empty folder", name)
	}
}

func TestABrokenManifestIsRefused(t *testing.T) {
	for name, manifest := range map[string]string{
		"not JSON":                 `{"app.js"`,
		"a file that is not there": `{"app.js": "app-GONE.js"}`,
		"a path out of the folder": `{"app.js": "../app.js"}`,
	} {
		if _, err := Load(fstest.MapFS{"manifest.json": file(manifest)}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestOnlyBuiltFilesAreServed(t *testing.T) {
	const forGood = "public, max-age=31536000, immutable"
	for _, c := range []struct {
		path, cache, kind string
		status            int
	}{
		{"app-AAAA.js", forGood, "text/javascript; charset=utf-8", http.StatusOK},
		{"kernel-BBBB.wasm", forGood, "application/wasm", http.StatusOK},
		{"manifest.json", "no-cache", "application/json", http.StatusOK},
		{"app.js", "", "", http.StatusNotFound},
		{"stray.txt", "", "", http.StatusNotFound},
		{".gitkeep", "", "", http.StatusNotFound},
		{"", "", "", http.StatusNotFound},
		{"../static.go", "", "", http.StatusNotFound},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.URL.Path = c.path
		w := httptest.NewRecorder()
		some(t).ServeHTTP(w, r)
		if w.Code != c.status {
			t.Errorf("%q: status %d, want %d", c.path, w.Code, c.status)
		}
		if got := w.Header().Get("Cache-Control"); got != c.cache {
			t.Errorf("%q: cached as %q, want %q", c.path, got, c.cache)
		}
		if got := w.Header().Get("Content-Type"); c.kind != "" && got != c.kind {
			t.Errorf("%q: sent as %q, want %q", c.path, got, c.kind)
		}
	}
}

func TestWhatThisBinaryCarriesCanBeRead(t *testing.T) {
	if FS() == nil || Handler() == nil {
		t.Error("no embedded files")
	}
	if _, ok := Path("never built"); ok {
		t.Error("a name that nobody built was found")
	}
}
