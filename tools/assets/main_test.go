package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// tree writes sources, by path relative to a new root, and returns the root.
func tree(t *testing.T, sources map[string]string) string {
	t.Helper()
	root := t.TempDir()
	for path, content := range sources {
		full := filepath.Join(root, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

// built runs the tool on root and returns the manifest and the dist folder.
func built(t *testing.T, root string) (map[string]string, string) {
	t.Helper()
	dist := filepath.Join(root, "dist")
	if err := run(root, dist); err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(filepath.Join(dist, manifestName))
	if err != nil {
		t.Fatal(err)
	}
	var manifest map[string]string
	if err := json.Unmarshal(content, &manifest); err != nil {
		t.Fatal(err)
	}
	return manifest, dist
}

func TestEverySourceGetsAHashedNameAndAPlainOne(t *testing.T) {
	root := tree(t, map[string]string{
		"web/src/app.ts":        `import { word } from "./parts/word"; document.title = word;`,
		"web/src/app.css":       `body { background: url("./parts/dot.svg") }`,
		"web/src/mark.svg":      `<svg xmlns="http://www.w3.org/2000/svg"/>`,
		"web/src/types.d.ts":    `declare const unused: string;`,
		"web/src/parts/word.ts": `export const word: string = "toe";`,
		"web/src/parts/dot.svg": `<svg xmlns="http://www.w3.org/2000/svg"><path/></svg>`,
	})
	manifest, dist := built(t, root)
	for logical, pattern := range map[string]string{
		"app.js":   `^app-[A-Z0-9]{8}\.js$`,
		"app.css":  `^app-[A-Z0-9]{8}\.css$`,
		"mark.svg": `^mark-[A-Z0-9]{8}\.svg$`,
		"dot.svg":  `^dot-[A-Z0-9]{8}\.svg$`,
	} {
		name := manifest[logical]
		if !regexp.MustCompile(pattern).MatchString(name) {
			t.Errorf("%s is called %q, want a name like %s", logical, name, pattern)
		}
		if _, err := os.Stat(filepath.Join(dist, name)); err != nil {
			t.Errorf("%s: %v", logical, err)
		}
	}
	if len(manifest) != 4 {
		t.Errorf("manifest names %d files, want 4: %v", len(manifest), manifest)
	}
	script, _ := os.ReadFile(filepath.Join(dist, manifest["app.js"]))
	if !strings.Contains(string(script), `"toe"`) || strings.Contains(string(script), "sourceMappingURL") {
		t.Errorf("the script should hold its import and no source map: %s", script)
	}
	style, _ := os.ReadFile(filepath.Join(dist, manifest["app.css"]))
	if !strings.Contains(string(style), manifest["dot.svg"]) {
		t.Errorf("the style sheet should point at the hashed picture: %s", style)
	}
}

func TestANewBuildReplacesTheOldOne(t *testing.T) {
	root := tree(t, map[string]string{"web/src/app.ts": `console.log(1)`, "dist/.gitkeep": ""})
	first, _ := built(t, root)
	source := filepath.Join(root, "web", "src", "app.ts")
	if err := os.WriteFile(source, []byte(`console.log(2)`), 0o644); err != nil {
		t.Fatal(err)
	}
	second, dist := built(t, root)
	if first["app.js"] == second["app.js"] {
		t.Error("other content kept the same name")
	}
	if _, err := os.Stat(filepath.Join(dist, first["app.js"])); !os.IsNotExist(err) {
		t.Errorf("the old file is still there: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dist, ".gitkeep")); err != nil {
		t.Errorf("the file that keeps the folder in git is gone: %v", err)
	}
	third, _ := built(t, root)
	if second["app.js"] != third["app.js"] {
		t.Error("the same content got another name")
	}
}

func TestABrokenSourceFailsTheBuild(t *testing.T) {
	for name, sources := range map[string]map[string]string{
		"a syntax error":                  {"web/src/app.ts": `let = ;`},
		"an import that is not there":     {"web/src/app.ts": `import "./gone"`},
		"a warning":                       {"web/src/app.css": `body { colour: url(; }`},
		"no sources at all":               {"web/other.ts": ``},
		"two sources with one plain name": {"web/src/app.css": `@import "./a.css"`, "web/src/a.css": `b { background: url(p/x.svg), url(q/x.svg) }`, "web/src/p/x.svg": "<svg/>", "web/src/q/x.svg": "<svg></svg>"},
	} {
		t.Run(name, func(t *testing.T) {
			root := tree(t, sources)
			if err := run(root, filepath.Join(root, "dist")); err == nil {
				t.Error("the build passed")
			}
		})
	}
}

func TestTheKernelIsCompiledAndPacked(t *testing.T) {
	root := tree(t, map[string]string{
		"go.mod":                      "module made\n\ngo 1.26\n",
		"cmd/tengram-pages/main.go":   "package main\n\nfunc main() {}\n",
		"cmd/tengram-pages/ignore.go": "//go:build linux\n\npackage main\n\nfunc init() { not for a browser }\n",
	})
	files, err := kernel(root)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 1 || files[0].Logical != "kernel.wasm.gz" || !regexp.MustCompile(`^kernel-[A-Z2-7]{8}\.wasm\.gz$`).MatchString(files[0].Name) {
		t.Fatalf("made %d files: %+v", len(files), files)
	}
	unpacked, err := gzip.NewReader(bytes.NewReader(files[0].Content))
	if err != nil {
		t.Fatal(err)
	}
	program, err := io.ReadAll(unpacked)
	if err != nil || !bytes.HasPrefix(program, []byte("\x00asm")) {
		t.Fatalf("%d bytes that are no WebAssembly, error %v", len(program), err)
	}
	again, err := kernel(root)
	if err != nil || again[0].Name != files[0].Name || !bytes.Equal(again[0].Content, files[0].Content) {
		t.Errorf("the same source made another file: %v", err)
	}
	if err := os.WriteFile(filepath.Join(root, "cmd", "tengram-pages", "main.go"), []byte("package main\n\nfunc main() { gone() }\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := kernel(root); err == nil || !strings.Contains(err.Error(), "gone") {
		t.Errorf("want the compiler's complaint, got %v", err)
	}
}
